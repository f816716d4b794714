"""Terrain tiles, read to one grid in memory or on disk, and rasters written.

`read_terrain` reads one tile or point cloud, or many, in any projection and unit of height, to one `Terrain` in metres;
where it is larger than memory its arrays lie on disk. `write_terrain` writes a cloud-optimised GeoTIFF.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
