"""Ditch-and-berm shape, sizing, overflow sill."""
