"""The crew's sheets: overview, plan, profile and work of each swale."""
