from .write import write_storm as write_storm
