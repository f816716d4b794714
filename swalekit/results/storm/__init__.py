"""The folder of a storm analysis."""
