"""Showing that what was released is what is here, to the firm and to outsiders."""
