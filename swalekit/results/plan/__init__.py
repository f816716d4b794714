"""The folder of a plan: written, read back, and reported on."""
