"""Volumes, balance, design surface, cost."""
