"""Swales along their lines, as designed and as surveyed."""
