"""Species, canopies, rows and places of plants, and how they follow one another."""
