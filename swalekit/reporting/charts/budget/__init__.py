"""Charts of a budget.

`draw_budget` by kind of thing, `draw_budget_years` by year; `budget_sheet` both on a sheet.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
