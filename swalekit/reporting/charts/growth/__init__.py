"""Charts of the water for trees."""
