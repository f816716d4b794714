"""Layouts side by side: what may vary, what each gives, limits, and the search for the cheapest."""
