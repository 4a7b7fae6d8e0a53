"""Motion over time: the rigid machine seen from one shaft, stepped without error from edge to edge."""
