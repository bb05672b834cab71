"""What the pages of the walk show: the day, the stops, panels, receptacles."""
