from .maps import draw_bunding as draw_bunding
from .write import write_bunding as write_bunding
