"""The crew's sheets: overview, plan, profile and work of each swale.

`stake_sheets` draws all of them; `cut_to_pieces` cuts a swale to what a sheet holds, `draw_plan` and `draw_profile`
draw one such piece.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
