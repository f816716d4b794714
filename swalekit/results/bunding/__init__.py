"""The folder of microcatchments.

`write_bunding` writes map, tables of units and blocks, pegs and points, layers and summary; `draw_bunding` draws the
map.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
