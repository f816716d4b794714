"""Annual beds on contour: where level beds and the paths between them lie, and what each takes to build.

`lay_beds` lays `Bed`s by `BedRules` on open ground: each a strip along a level line, none nearer to the next than a
path. What they want of water is worked out where the weather is known, in the design.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
