"""The folder that a crew takes to the site.

`write_stakeout` writes stakes as tables, tracks, drawings and surface, and the sheets to print.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
