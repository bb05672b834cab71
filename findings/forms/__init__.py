"""Forms: they check what was typed, and save nothing."""
