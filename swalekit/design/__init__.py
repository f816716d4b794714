"""Site and Terrain go in, Design comes out: this room adds and orders, it does not calculate."""
