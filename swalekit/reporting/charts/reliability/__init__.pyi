from .chances import draw_chances as draw_chances
from .chances import draw_held_storms as draw_held_storms
from .chances import draw_influence as draw_influence
from .chances import reliability_sheet as reliability_sheet
from .map import reliability_content as reliability_content
from .sizes import draw_sizes as draw_sizes
from .sizes import sizes_sheet as sizes_sheet
