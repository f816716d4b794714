"""The folder of a comparison, and of spacing rules side by side."""
