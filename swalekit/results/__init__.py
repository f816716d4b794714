"""What each result consists of, written whole or not at all."""
