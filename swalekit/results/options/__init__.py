"""The folder of a comparison, and of spacing rules side by side.

`write_comparison` writes the table, the charts, the maps and the lines of compared layouts; `write_spacing_rules` the
published spacings on the slopes of a site.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
