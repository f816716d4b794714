"""Gauge notes: posts in the ditches, and what years of readings say of the runoff that they were sized for.

`gauge_posts` tells the marks of every swale's post; `gauge` reads notes back into runoff and a curve number, and gives
a `Gauging`.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
