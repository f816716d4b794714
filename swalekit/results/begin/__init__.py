"""The folder that a site begins with.

`begin` reads a tile and what goes with it, and writes a brief that runs at once and the site sheet.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
