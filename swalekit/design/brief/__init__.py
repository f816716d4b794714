"""The brief: its parts, what is wrong with it, the site that it describes, and the settings that follow from it."""
