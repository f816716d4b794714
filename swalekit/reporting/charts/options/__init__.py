"""Charts of compared layouts.

`draw_options` shows soil dug against storm held, `draw_trade_off` what it costs to keep more of the water,
`draw_option` one layout as a small map.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
