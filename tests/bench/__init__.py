"""Figures, printed and never asserted: `make bench`."""
