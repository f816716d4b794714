"""Sentences, and numbers in the units asked for."""
