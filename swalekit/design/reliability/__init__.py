"""How sure a layout is: inputs and ground drawn again and again, and what comes of each draw.

`how_sure` draws soil, storm and heights within their spread, sizes and pours each draw, and gives a `Reliability`: the
chance of every swale to hold the storm that comes, ranges of soil and cost, and which input matters most.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
