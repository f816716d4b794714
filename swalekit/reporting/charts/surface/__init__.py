"""What was taken off a surface to get bare ground.

`draw_flown` shows the surface as it was flown with the trees and buildings found on it, `draw_bare` the ground that the
plan stands on; `bare_ground_sheet` sets one beside the other.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
