"""Published numbers with their unit and source.

Each row prints its unit and where it was published: curve numbers, soil water, crop coefficients, spacing rules, swell,
setbacks, accuracy of terrain models. `named_row` finds one by name, and an unknown name is told with its nearest.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
