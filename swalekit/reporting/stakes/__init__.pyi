from .sheets import stake_sheets as stake_sheets
from .swale_drawings import draw_long_profile as draw_long_profile
from .swale_drawings import draw_section as draw_section
from .swale_drawings import draw_stakes as draw_stakes
