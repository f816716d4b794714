from .dry_months_chart import dry_months_sheet as dry_months_sheet
from .growth_drawings import draw_tree_water as draw_tree_water
from .growth_drawings import draw_want_met as draw_want_met
from .planting_sheet import planting_content as planting_content
from .water_year_chart import draw_measures as draw_measures
from .water_year_chart import draw_water_year as draw_water_year
from .water_year_chart import water_year_sheet as water_year_sheet
