"""The folder that a mended layout goes to: a plan's folder like any other, with the table of what was tried."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
