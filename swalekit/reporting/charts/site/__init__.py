"""The sheet of a site for a first meeting, before any line is laid.

`site_sheet` draws what the ground suits on one page, with its slopes, its winter sun and what stands in its hollows.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
