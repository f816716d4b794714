"""Stakes on the level lines, and the lines of the works in space, for the crew that builds them."""
