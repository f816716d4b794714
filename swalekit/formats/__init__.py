"""One file format a file, read and write.

`terrain` reads tiles to a `Terrain` and writes rasters; `inputs` reads the brief and the tables that it names;
`exchange` writes lines, points, surfaces and layers for other programs (GeoJSON, GeoPackage, DXF, GPX, KML, LandXML).
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
