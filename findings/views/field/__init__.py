"""Pages of the walk: the day, the visit, its stops, panels, receptacles, photos."""
