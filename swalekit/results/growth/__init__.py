"""The folder of a planting.

`write_growth` writes planting map and proposal, plants, water by months and years, calendar, nursery and bill;
`draw_planting` draws the map.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
