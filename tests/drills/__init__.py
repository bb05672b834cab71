"""Drills: what a release promises, tried at random, with the figure printed last."""
