"""Microcatchments as layers of features, in the CRS of the project."""

from functools import partial
from typing import Any

import geopandas
import shapely

from swalekit.design.bunding.bunding import Bunding, unit_names
from swalekit.design.bunding.table import PEG_COLUMNS, UNIT_COLUMNS, Row, peg_rows, unit_rows
from swalekit.formats.exchange.layers import feature_layer
from swalekit.microcatchments.trees import pit_outlines, tree_places


def bund_layers(
    found: Bunding, *, rows: list[Row] | None = None, pegs: list[Row] | None = None
) -> dict[str, geopandas.GeoDataFrame]:
    """Layers ``microcatchments``, ``bunds``, ``pits``, ``trees``, ``pegs`` and ``ground asked for``, empty ones too.

    Parameters
    ----------
    found : Bunding
        The microcatchments.
    rows, pegs : list of dict, optional
        Rows of `unit_rows` and `peg_rows` where they are at hand.

    Returns
    -------
    dict of str to GeoDataFrame
        In the CRS of the project.

    Examples
    --------
    >>> layers = bund_layers(bunding)
    >>> list(layers), len(layers["pits"]) == len(layers["trees"]) == len(bunding.units)
    (['microcatchments', 'bunds', 'pits', 'trees', 'pegs', 'ground asked for'], True)
    """
    layer, units = partial(feature_layer, crs=found.ground.terrain.grid.crs), found.units
    rows, pegs = unit_rows(found) if rows is None else rows, peg_rows(found) if pegs is None else pegs
    names, (trees, owner) = unit_names(units), tree_places(units)
    pits = list(pit_outlines(units)) if units.kind == "negarim" else []
    bunds: list[dict[str, Any]] = [
        {"unit": row["unit"], "height_m": row["bund_height_m"], "soil_m3": row["bund_m3"]} for row in rows
    ]
    return {
        "microcatchments": layer(
            rows, list(units.outlines), kind="Polygon", columns=[column.name for column in UNIT_COLUMNS]
        ),
        "bunds": layer(bunds, list(units.bunds), kind="LineString", columns=["unit", "height_m", "soil_m3"]),
        "pits": layer(
            [{"unit": name, "depth_m": 0.4} for name in names[: len(pits)]],
            pits,
            kind="Polygon",
            columns=["unit", "depth_m"],
        ),
        "trees": layer(
            [{"unit": names[unit]} for unit in owner.tolist()],
            list(shapely.points(trees)),
            kind="Point",
            columns=["unit"],
        ),
        "pegs": layer(
            pegs,
            [shapely.Point(row["easting_m"], row["northing_m"]) for row in pegs],
            kind="Point",
            columns=[column.name for column in PEG_COLUMNS],
        ),
        "ground asked for": layer(None, [found.asked.asked], kind="Unknown"),
    }
