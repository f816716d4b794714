"""One file format a file, read and write."""
