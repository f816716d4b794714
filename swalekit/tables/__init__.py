"""Published numbers with their unit and source."""
