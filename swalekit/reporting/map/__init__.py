"""The map: relief, layers, labels, furniture, legend, sheet."""
