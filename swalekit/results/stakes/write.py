"""The stakes of a design in a folder."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import geopandas

from swalekit.design.brief.brief import StakesPart
from swalekit.design.brief.issue import title_of
from swalekit.design.brief.site import Site
from swalekit.design.gauging.posts import POST_COLUMNS, gauge_posts
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.design.plan.design import Design
from swalekit.design.plan.record import PlanRecord
from swalekit.formats.exchange.dxf import write_dxf
from swalekit.formats.exchange.gpx import write_gpx
from swalekit.formats.exchange.kml import write_kml
from swalekit.formats.exchange.landxml import write_landxml
from swalekit.formats.exchange.layers import feature_layer, write_layers
from swalekit.formats.exchange.points_csv import write_points
from swalekit.formats.table import write_table
from swalekit.reporting.paper.save import save_pdf
from swalekit.reporting.stakes.gauge_sheet import gauge_sheet
from swalekit.reporting.stakes.sheets import stake_sheets
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.inputs import keep_inputs
from swalekit.results.folder.provenance import belongs_to, extended_summary, write_json
from swalekit.results.folder.seal import seal
from swalekit.results.plan.layers import frames
from swalekit.results.plan.levelled import Levelled, keep_levelled
from swalekit.results.plan.read import read_summary
from swalekit.results.plan.record import plan_record
from swalekit.results.plan.write import write_plan_files, write_report
from swalekit.results.stakes.table import (
    OFFSET_COLUMNS,
    STAKE_COLUMNS,
    TABLE_COLUMNS,
    offset_rows,
    stake_rows,
    table_rows,
)
from swalekit.staking.stake import Stakeout
from swalekit.staking.stake_out import survey_points
from swalekit.staking.tin import Tin, triangulate

_LAYER_COLUMNS = {"stakes": STAKE_COLUMNS, "stake offsets": OFFSET_COLUMNS}
COLUMNS = _LAYER_COLUMNS | {"gauge_posts": POST_COLUMNS}


def write_stakeout(
    design: Design,
    stakeout: Stakeout,
    folder: str | Path,
    *,
    levelled: Sequence[Levelled] = (),
    paper: str = "A4",
    overwrite: bool = False,
) -> None:
    """Write stakes, points, drawings, design surface, sheets and summary to a folder, whole or not at all.

    Parameters
    ----------
    design : Design
        The design.
    stakeout : Stakeout
        Its stakes.
    folder : str or Path
        Where the results go.
    levelled : sequence of Levelled
        Points that the design was cut to, in the order of the work.
    paper : str
        ``A4``, ``A3``, ``letter`` or ``tabloid``.
    overwrite : bool
        Replace an earlier result there.

    Raises
    ------
    InputError
        If the paper is unknown.
    OutputError
        If the folder is taken or can't be written.

    Examples
    --------
    >>> write_stakeout(design, stakeout, folder / "stakes", paper="A3")
    >>> sorted(file.name for file in (folder / "stakes").iterdir())
    ['brief.toml', 'design.xml', 'gauge_posts.csv', 'gauge_posts.pdf', 'points.csv', 'site.gpkg', 'stakes.csv',
    'stakes.dxf', 'stakes.gpx', 'stakes.kml', 'stakes.pdf', 'summary.json']
    """
    plan = plan_record(design, folder=folder)
    with result_folder(folder, overwrite=overwrite) as results:
        layers = frames(plan.layers, stakeout.crs) | stake_layers(stakeout)
        write_layers(layers, results / "site.gpkg", about=stakeout.title)
        _write_stakes(design, stakeout, plan, results, paper)
        keep_inputs(design.site, plan.summary["inputs"], results)
        cut_to = keep_levelled(levelled, results, folder=folder)
        told = {"stakes": _stake_summary(stakeout, design.site.brief.stakes)}
        write_json(extended_summary(plan.summary, told, COLUMNS, inputs=cut_to), results / "summary.json")


def write_relevelled(
    design: Design,
    stakeout: Stakeout,
    folder: str | Path,
    *,
    levelled: Sequence[Levelled],
    base: Site | None = None,
    paper: str = "A4",
    overwrite: bool = False,
) -> None:
    """Write a design that was cut to levelled points: a plan's folder like any other, with its stakes and report.

    Parameters
    ----------
    design : Design
        The design.
    stakeout : Stakeout
        Its stakes.
    folder : str or Path
        Where the results go.
    levelled : sequence of Levelled
        Points that it was cut to, in the order of the work.
    base : Site, optional
        Site of the plan that it was cut from.
    paper : str
        ``A4``, ``A3``, ``letter`` or ``tabloid``.
    overwrite : bool
        Replace an earlier result there.

    Raises
    ------
    InputError
        If the paper is unknown.
    OutputError
        If the folder is taken or can't be written.

    Notes
    -----
    It has a number of its own; that of the plan that it was cut from stands in the summary under ``cut_from``.
    """
    with result_folder(folder, overwrite=overwrite) as results:
        write_plan_files(design, results, folder=folder)
        summary = read_summary(results, ())
        plan = plan_record(design)
        write_layers(stake_layers(stakeout), results / "site.gpkg", about=stakeout.title)
        _write_stakes(design, stakeout, plan, results, paper)
        cut_to = keep_levelled(levelled, results, folder=folder)
        told: dict[str, Any] = {"stakes": _stake_summary(stakeout, design.site.brief.stakes)}
        told |= {} if base is None else {"cut_from": belongs_to(base).get("of_plan")}
        write_json(extended_summary(summary, told, COLUMNS, inputs=cut_to), results / "summary.json")
        seal(results)
        write_report(results)


def _write_stakes(design: Design, stakeout: Stakeout, plan: PlanRecord, results: Path, paper: str) -> None:
    """Write what crew and field gear take, besides the layers."""
    part = design.site.brief.stakes
    write_table(table_rows(stakeout), TABLE_COLUMNS, results / "stakes.csv")
    write_points(
        survey_points(stakeout),
        results / "points.csv",
        order=part.point_order,
        unit=part.point_unit,
        header=part.point_header,
    )
    write_gpx(stakeout, results / "stakes.gpx")
    write_kml(stakeout, results / "stakes.kml")
    write_dxf(stakeout, results / "stakes.dxf")
    write_landxml(stakeout, results / "design.xml", surface=_surface(design, stakeout))
    save_pdf(stake_sheets(plan, stakeout, paper=paper), results / "stakes.pdf", title=stakeout.title)
    posts, units = gauge_posts(design), design.site.brief.site.units
    write_table([row_of(post, POST_COLUMNS) for post in posts], POST_COLUMNS, results / "gauge_posts.csv")
    if posts:
        dry_h = design.site.brief.soil.empty_within_h
        sheet = gauge_sheet(posts, title=title_of(design.site), units=units, empty_within_h=dry_h, paper=paper)
        save_pdf([sheet], results / "gauge_posts.pdf", title=stakeout.title)


def stake_layers(stakeout: Stakeout) -> dict[str, geopandas.GeoDataFrame]:
    """Layers ``stakes`` and ``stake offsets`` of the GeoPackage, a point a stake.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes.

    Returns
    -------
    dict of str to GeoDataFrame
        In the CRS of the project.

    Examples
    --------
    >>> {name: len(layer) for name, layer in stake_layers(stakeout).items()}
    {'stakes': 26, 'stake offsets': 52}
    """
    rows = {"stakes": stake_rows(stakeout), "stake offsets": offset_rows(stakeout)}
    return {name: _points(rows[name], columns, stakeout.crs) for name, columns in _LAYER_COLUMNS.items()}


def _stake_summary(stakeout: Stakeout, part: StakesPart) -> dict[str, Any]:
    """The stakes and how they were set, in JSON types."""
    benchmark = stakeout.benchmark
    by_swale = [[stake for stake in stakeout.stakes if stake.swale == swale.id] for swale in stakeout.swales]
    return {
        "stakes": len(stakeout.stakes),
        "offset_stakes": sum(len(stake.offsets) for stake in stakeout.stakes),
        "spacing_m": part.spacing_m,
        "benchmark": None if benchmark is None else {"name": benchmark.name, "level_m": benchmark.level_m},
        "point_order": part.point_order,
        "point_unit": part.point_unit,
        "swales": [
            {
                "swale": stakes[0].swale,
                "stakes": len(stakes),
                "first": stakes[0].number,
                "last": stakes[-1].number,
                "greatest_position_sigma_m": round(max(stake.position_sigma_m for stake in stakes), 2),
            }
            for stakes in by_swale
        ],
    }


def _points(rows: Sequence[Mapping[str, Entry]], columns: Sequence[Column], crs: Any) -> geopandas.GeoDataFrame:
    """Points at the place that the rows give; columns with a unit hold numbers even where all are empty."""
    places = geopandas.points_from_xy([row["easting_m"] for row in rows], [row["northing_m"] for row in rows])
    frame = feature_layer(rows, places, crs, kind="Point", columns=[column.name for column in columns])
    return frame.astype({column.name: "float64" for column in columns if column.unit})


def _surface(design: Design, stakeout: Stakeout) -> Tin | None:
    """The design surface near the works; None where nothing is built."""
    if not stakeout.swales:
        return None
    return triangulate(design.ground.terrain, design.surface, stakeout.swales)
