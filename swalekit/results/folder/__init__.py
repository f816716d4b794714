"""The folder of a result: written whole, sealed, and what it was made from."""
