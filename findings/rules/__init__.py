"""What recorded facts mean: the rules' language, data, dates and engine."""
