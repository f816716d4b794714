"""Many sites: planned by processes or a cluster, gathered in one table and one GeoPackage.

`plan_sites` plans every row of a table of sites into a folder of its own, goes on where it stopped, and gives a
`Batch`.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
