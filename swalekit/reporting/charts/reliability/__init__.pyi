from .reliability_drawings import draw_chances as draw_chances
from .reliability_drawings import draw_held_storms as draw_held_storms
from .reliability_map import reliability_content as reliability_content
from .reliability_sheet import reliability_sheet as reliability_sheet
