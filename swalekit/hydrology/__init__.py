"""Storm, losses, runoff, and water passed from one store to the next."""
