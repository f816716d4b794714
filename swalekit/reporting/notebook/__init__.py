"""Values as a notebook shows them.

`VIEWS` has, for each kind of value (a design, a ground, a growth), what gives the HTML of its table and map;
`html_view` lays it out.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
