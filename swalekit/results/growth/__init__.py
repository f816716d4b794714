"""The folder of a planting."""
