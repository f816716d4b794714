"""Heights on a grid: condition, slope, sample."""
