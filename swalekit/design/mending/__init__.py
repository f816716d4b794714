"""Mending: the cures of a layout's cautions, each tried on the real layout with its price.

`mend` tries them and takes the cheapest set that works; `cures_of` lists what may cure the cautions of one swale.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
