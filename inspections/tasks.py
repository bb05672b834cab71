"""Background work of inspections: load, one call."""
