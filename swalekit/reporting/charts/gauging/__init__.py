"""Rain against runoff as gauge notes tell it.

`draw_gauging` shows the readings beside the brief's curve and the fitted one; `gauge_chart` puts it on a sheet.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
