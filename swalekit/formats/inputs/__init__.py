"""Files that a brief names, and the brief itself."""
