"""Charts of compared layouts."""
