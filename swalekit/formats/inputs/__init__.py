"""Files that a brief names, and the brief itself.

`read_brief` and `read_site` read and check a brief with all that it names; `site_of` and `site_from_values` make a site
from values in Python. `terrain_of` reads the terrain of a site, `records_of` its weather and species. Bad input ends in
an `InputError` that says what, where, and the way out.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
