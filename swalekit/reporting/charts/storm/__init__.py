"""Charts of the rain and of the site's water.

`draw_rain` shows the course of a storm, `draw_rain_record` the greatest rain by return period with the record that it
comes from, `draw_storm` the water of a design through its storm.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
