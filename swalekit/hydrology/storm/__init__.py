"""Rain: depth by duration and return period, and the course of a storm."""
