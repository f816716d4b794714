"""What was built, from a survey, against what was designed."""
