"""The folder that a crew takes to the site."""
