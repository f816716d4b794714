"""The crew's sheets: overview, plan, profile and work of each swale.

`stake_sheets` prints all of them; `draw_stakes`, `draw_long_profile` and `draw_section` draw the plan, the profile and
the section of one swale on axes.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
