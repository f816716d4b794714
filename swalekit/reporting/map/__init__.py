"""The map: relief, layers, labels, furniture, legend, sheet.

`draw_terrain` and `draw_slope` draw the ground, `draw_content` all that a plan lays on it (`MapContent`), `map_sheet` a
whole sheet at a round scale with scale bar, north arrow, legend and figures.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
