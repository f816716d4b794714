"""Charts of how sure a layout is."""
