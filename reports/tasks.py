"""Background work of reports: load, one call."""
