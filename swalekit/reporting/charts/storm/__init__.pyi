from .hyetograph_chart import draw_hyetograph as draw_hyetograph
from .storm_drawings import draw_rain as draw_rain
from .storm_drawings import draw_rain_record as draw_rain_record
from .storm_drawings import draw_storm as draw_storm
from .storm_sheet import storm_sheet as storm_sheet
from .water_chart import draw_water as draw_water
from .water_chart import water_sheet as water_sheet
