from .cog import write_terrain as write_terrain
from .metric_crs import parse_crs as parse_crs
from .raster import read_terrain as read_terrain
from .tile_files import tile_files as tile_files
