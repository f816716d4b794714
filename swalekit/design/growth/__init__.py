"""What grows on the plan: water for trees, places, years of the work, and what the house's greywater adds.

`grow` takes a design and `Records` (weather, species) and gives a `Growth`: for each swale the trees that its water
carries and where they stand, the stand year by year, nursery, calendar and bill. The functions that end in `_rows` give
its tables.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
