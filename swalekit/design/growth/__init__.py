"""What grows on the plan: water for trees, places, years of the work, and what the house's greywater adds."""
