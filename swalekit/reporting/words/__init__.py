"""Sentences, and numbers in the units asked for.

`shown`, `number` and `area_shown` give a number with its unit, metric or US; the rest are the sentences of a plan, of
compared options, of a planting, of stakes and of a survey that map, page and terminal share.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
