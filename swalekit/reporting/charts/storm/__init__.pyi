from .rain import draw_hyetograph as draw_hyetograph
from .rain import draw_rain as draw_rain
from .rain import storm_sheet as storm_sheet
from .record import draw_frequency as draw_frequency
from .record import draw_rain_record as draw_rain_record
from .water import draw_storm as draw_storm
from .water import draw_water as draw_water
from .water import water_sheet as water_sheet
