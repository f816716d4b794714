"""Files that other programs read: drawings, tracks, surfaces, layers, points."""
