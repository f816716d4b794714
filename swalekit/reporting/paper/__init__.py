"""Paper, palette, lettering, tables on a sheet, and figures saved the same to the byte."""
