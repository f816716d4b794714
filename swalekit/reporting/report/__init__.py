"""The report: one page for a browser, and sheets to print."""
