"""Charts of the water for trees.

`draw_tree_water` shows the water of a swale's trees through the year, `draw_want_met` how much of what they want comes
in dry and wet years.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
