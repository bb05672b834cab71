"""Background work of findings: load, one call."""
