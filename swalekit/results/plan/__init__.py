"""The folder of a plan: written, read back, and reported on.

`write_plan` writes lines, layers, surface, tables, map and page of a design; `read_recorded_plan` reads the folder back
and `plan_again` plans from what it holds; `draw_design` and `draw_ground` draw the map on axes.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
