"""What a planting takes: work of the years, nursery, materials, calendar, first water.

`schedule` says what is planted, cut and replaced in which year, `nursery_stock` what to raise and when, `mulch_plan`
and `compost_m3` what to bring, and `work_calendar` what to do in each month around the rains (`rainy_season`).
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
