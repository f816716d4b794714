from .maps import draw_planting as draw_planting
from .write import write_growth as write_growth
