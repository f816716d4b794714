"""Level lines: which levels, where they run, and why some stretches were refused."""
