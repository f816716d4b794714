"""What is gathered of many sites: their totals in one table, their swales in one GeoPackage."""

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import geopandas
import shapely

from swalekit.design.brief.site import WGS84
from swalekit.design.plan.columns import Column, Entry
from swalekit.design.plan.table import TOTAL_COLUMNS
from swalekit.errors import InputError
from swalekit.formats.exchange.layers import feature_layer, write_layers
from swalekit.formats.table import read_table, write_table
from swalekit.results.folder.folder import whole_file
from swalekit.results.plan.read import read_summary

TABLE, LAYERS = "batch.csv", "batch.gpkg"
"""What is gathered; a folder that holds the table is a batch's."""

BATCH_COLUMNS: tuple[Column, ...] = (
    Column("site", "", "name of the site, and of the folder with its plan"),
    Column("design_storm_mm", "mm", "storm that every swale should hold"),
    Column("holds", "", "whether every swale holds it"),
    *TOTAL_COLUMNS,
    Column("currency", "", "currency of the cost"),
    Column("cautions", "", "cautions of the plan, each with its number of swales; read them in its summary"),
    Column("error", "", "why the site has no plan; empty where it has one"),
)


def is_batch(folder: Path) -> bool:
    """Whether a folder holds the table of a batch: any other of its name is the user's.

    Parameters
    ----------
    folder : Path
        Folder.

    Returns
    -------
    bool
        Whether a batch was written to it.

    Examples
    --------
    >>> _ = write_batch(["north"], folder, {"north": "not planned yet"})
    >>> is_batch(folder), is_batch(plan_folder)
    (True, False)
    """
    try:
        read_table(folder / TABLE, BATCH_COLUMNS)
    except InputError:
        return False
    return True


def write_batch(sites: Sequence[str], folder: Path, errors: Mapping[str, str]) -> tuple[dict[str, Entry], ...]:
    """Write table and GeoPackage of what is planned so far, in place of older ones.

    Parameters
    ----------
    sites : sequence of str
        Names of the sites, which are the names of the folders with their plans.
    folder : Path
        Folder of the batch.
    errors : mapping
        Site -> why it has no plan.

    Returns
    -------
    tuple of dict
        A row a site by the names of `BATCH_COLUMNS`.

    Raises
    ------
    OutputError
        If they can't be written.

    Examples
    --------
    >>> rows = write_batch(["plan", "south"], plan_folder.parent, {"south": "not planned yet"})
    >>> [(row["site"], row["swales"], row["error"]) for row in rows]
    [('plan', 2, ''), ('south', None, 'not planned yet')]
    """
    rows = tuple(
        dict.fromkeys([column.name for column in BATCH_COLUMNS]) | {"site": site, "error": errors[site]}
        if site in errors
        else _row(site, read_summary(folder / site, ("totals", "values_used", "cautions")))
        for site in sites
    )
    with whole_file(folder / TABLE) as file:
        write_table(rows, BATCH_COLUMNS, file)
    with whole_file(folder / LAYERS) as file:
        write_layers({"swales": _swales([site for site in sites if site not in errors], folder)}, file)
    return rows


def _row(site: str, summary: Mapping[str, Any]) -> dict[str, Entry]:
    """Figures of a planned site, from its summary."""
    figures, design_mm = summary["totals"], round(summary["values_used"]["storm_depth_mm"], 1)
    counts = Counter(caution["caution"] for caution in summary["cautions"])
    known = figures | {
        "site": site,
        "design_storm_mm": design_mm,
        "holds": "yes" if figures["swales"] and figures["held_storm_mm"] >= design_mm else "no",
        "currency": summary["brief"]["rates"]["currency"],
        "cautions": "; ".join(f"{name}: {count}" for name, count in counts.items()),
        "error": "",
    }
    return {column.name: known[column.name] for column in BATCH_COLUMNS}


def _swales(sites: Sequence[str], folder: Path) -> geopandas.GeoDataFrame:
    """Level lines of every planned site with their figures and the name of the site, in WGS 84."""
    rows, lines = list[dict[str, Any]](), []
    for site in sites:
        collection = json.loads((folder / site / "swales.geojson").read_text(encoding="utf-8"))
        for feature in collection["features"]:
            rows.append({"site": site} | feature["properties"])
            lines.append(shapely.geometry.shape(feature["geometry"]))
    return feature_layer(rows, lines, WGS84, kind="LineString")
