"""Values as a notebook shows them.

Each view takes a value (a design, a ground, a growth) and gives the HTML of its table and map.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
