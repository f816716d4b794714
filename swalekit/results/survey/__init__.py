"""The folder of what was built against the plan."""
