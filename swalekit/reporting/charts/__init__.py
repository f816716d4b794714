"""Charts by subject."""
