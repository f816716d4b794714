from .bare_ground import bare_ground_sheet as bare_ground_sheet
from .bare_ground import draw_bare as draw_bare
from .bare_ground import draw_flown as draw_flown
