"""Terrain tiles, read to one grid in memory or on disk, and rasters written."""
