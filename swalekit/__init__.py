"""swalekit: from a terrain tile to sized, costed level ditches on contour."""
