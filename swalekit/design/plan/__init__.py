"""A layout carried through its storms: sills, failures, cautions, cost, and the tables that tell it."""
