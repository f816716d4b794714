"""The water of the house: how much there is, the reed bed that cleans it, and the ground it reaches by gravity."""
