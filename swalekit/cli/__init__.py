"""One command a file, a thin skin without arithmetic."""
