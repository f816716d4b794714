"""Water for trees: what the harvested water carries, what is planted where and when, and what that takes.

`weather` gives days of rain and reference evapotranspiration, `plants` species and the places where they stand,
`palette` which of them stand the site, `water` how much a stand wants and gets day by day and how many trees that
carries, `work` nursery and calendar.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
