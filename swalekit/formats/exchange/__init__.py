"""Files that other programs read: drawings, tracks, surfaces, layers, points.

`write_geojson` and `write_layers` write features with their columns for a GIS, `write_dxf` and `write_landxml` what
machines and drawing programs take, `write_gpx` and `write_kml` tracks and stakes for a phone; `read_points` and
`write_points` are the table of points of a total station.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
