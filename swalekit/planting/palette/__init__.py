"""Which plants stand a site, by published limits, and which of them are to be tried first.

`fit_of` judges a species, `palette_of` all of them, `alternatives` names others of the same kind, `proposed` a modest
list.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
