"""The folder of how sure a plan is.

`write_reliability` writes the chances and ranges of every swale as table, layers, chart and map.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
