from .dry_months import draw_dry_months as draw_dry_months
from .dry_months import dry_months_sheet as dry_months_sheet
from .map import planting_content as planting_content
from .water_year import draw_measures as draw_measures
from .water_year import draw_tree_water as draw_tree_water
from .water_year import draw_want_met as draw_want_met
from .water_year import draw_water_year as draw_water_year
from .water_year import water_year_sheet as water_year_sheet
