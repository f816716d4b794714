from .write import write_comparison as write_comparison
from .write import write_spacing_rules as write_spacing_rules
