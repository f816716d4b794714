"""Water for trees: what the harvested water carries, what is planted where and when, and what that takes."""
