"""Charts of how sure a layout is.

`draw_chances` shows the chance of each swale to hold the storm that comes, `draw_held_storms` the storm that it holds
from draw to draw, `draw_sizes` what a larger size buys.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
