"""Microcatchments on a site: which size a tree needs, where they lie, what they hold, take and cost.

`bund` takes a site and its terrain, with `BundRecords` (the ground asked for, the rain of the years), and gives a
`Bunding`: the units beside the swales of a plan or on ground without any. The functions that end in `_rows` give its
tables.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
