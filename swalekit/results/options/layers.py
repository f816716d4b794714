"""The lines of the options that stand out as layers of features, in the CRS of the project."""

import geopandas
import shapely

from swalekit.design.options.comparison import Comparison


def option_layers(comparison: Comparison) -> dict[str, geopandas.GeoDataFrame]:
    """Swales of every kept option, and a summary feature an option that gathers its lines.

    Parameters
    ----------
    comparison : Comparison
        The options; those without lines are left out.

    Returns
    -------
    dict
        ``swales``, a line each with number and words of its option, and ``options``, all lines of one with its figures.
    """
    swales, gathered = [], []
    for option in comparison.kept:
        lines = [shapely.LineString(line.xy) for line in option.lines]
        gathered.append((option.figures, shapely.MultiLineString(lines)))
        for line, shape in zip(option.lines, lines, strict=True):
            row = {"number": option.number, "option": option.label, "swale": line.swale}
            swales.append((row | {"level_m": round(line.level_m, 2), "length_m": round(shape.length, 1)}, shape))
    crs = comparison.terrain.grid.crs
    layers = {}
    for name, features, kind in (("swales", swales, "LineString"), ("options", gathered, "MultiLineString")):
        rows, shapes = [row for row, _ in features], [shape for _, shape in features]
        layers[name] = geopandas.GeoDataFrame(rows, geometry=shapes, crs=crs)
        layers[name].attrs["geometry_type"] = kind
    return layers
