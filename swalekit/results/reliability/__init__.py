"""The folder of how sure a plan is."""
