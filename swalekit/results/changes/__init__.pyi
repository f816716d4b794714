from .write import draw_changes as draw_changes
from .write import what_changed as what_changed
from .write import write_changes as write_changes
