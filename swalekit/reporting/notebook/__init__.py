"""Values as a notebook shows them."""
