"""Gauge notes read back, in a folder: the table of readings, the chart, the summary.

`write_gauging` writes it.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
