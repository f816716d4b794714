from .bars import budget_sheet as budget_sheet
from .bars import draw_budget as draw_budget
from .bars import draw_budget_years as draw_budget_years
