"""The results of microcatchments in a folder."""

from pathlib import Path
from typing import Any

import numpy as np

from swalekit.design.brief.issue import title_of
from swalekit.design.budget.bill import BILL_COLUMNS, bill_rows
from swalekit.design.bunding.bund_bill import bund_bill
from swalekit.design.bunding.bunding import Bunding
from swalekit.design.bunding.table import (
    BLOCK_COLUMNS,
    GROUND_COLUMNS,
    PEG_COLUMNS,
    TOTAL_COLUMNS,
    UNIT_COLUMNS,
    Row,
    block_rows,
    bund_totals,
    ground_rows,
    peg_rows,
    unit_rows,
)
from swalekit.formats.exchange.layers import write_geojson, write_layers
from swalekit.formats.exchange.points_csv import write_points
from swalekit.formats.table import write_table
from swalekit.reporting.map.bund_map import bund_content
from swalekit.reporting.map.sheet import map_sheet
from swalekit.reporting.paper.save import save_pdf, save_png
from swalekit.reporting.report.text_sheets import text_sheets
from swalekit.reporting.words.bund_words import bund_chapters, bund_sentences
from swalekit.results.bunding.layers import bund_layers
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.inputs import keep_inputs, made_from
from swalekit.results.folder.provenance import (
    belongs_to,
    caution_rows,
    extended_summary,
    whole_summary,
    write_json,
)
from swalekit.results.plan.layers import frames
from swalekit.results.plan.record import plan_record
from swalekit.terrain.survey_points import SurveyPoints

COLUMNS = {
    "microcatchments": UNIT_COLUMNS,
    "blocks": BLOCK_COLUMNS,
    "stakes": PEG_COLUMNS,
    "ground": GROUND_COLUMNS,
    "microcatchment totals": TOTAL_COLUMNS,
    "bill": BILL_COLUMNS,
}


def write_bunding(found: Bunding, folder: str | Path, *, overwrite: bool = False) -> None:
    """Write tables, layers, map and summary of microcatchments to a folder, whole or not at all.

    Parameters
    ----------
    found : Bunding
        The microcatchments.
    folder : str or Path
        Where the results go.
    overwrite : bool
        Replace an earlier result there.

    Raises
    ------
    OutputError
        If the folder is taken or can't be written.

    Examples
    --------
    >>> write_bunding(bunding, folder / "bund")
    >>> sorted(file.name for file in (folder / "bund").iterdir())
    ['blocks.csv', 'brief.toml', 'bunding.pdf', 'bunding.png', 'ground.csv', 'microcatchments.csv',
    'microcatchments.geojson', 'points.csv', 'site.gpkg', 'stakes.csv', 'summary.json']
    """
    site, part = found.site, found.site.brief.stakes
    rows = {
        "microcatchments": unit_rows(found),
        "blocks": block_rows(found),
        "stakes": peg_rows(found),
        "ground": ground_rows(found),
    }
    plan = None if found.design is None else plan_record(found.design, folder=folder, hashes=found.records.hashes)
    with result_folder(folder, overwrite=overwrite) as results:
        for name, listed in rows.items():
            write_table(listed, COLUMNS[name], results / f"{name}.csv")
        points = _points(rows["stakes"])
        write_points(
            points, results / "points.csv", order=part.point_order, unit=part.point_unit, header=part.point_header
        )
        layers = bund_layers(found, rows=rows["microcatchments"], pegs=rows["stakes"])
        standing = {} if plan is None else frames(plan.layers, plan.ground.grid.crs)
        write_layers(standing | layers, results / "site.gpkg", about=title_of(site))
        write_geojson(layers["microcatchments"], results / "microcatchments.geojson")
        sheet = map_sheet(bund_content(found))
        save_png(sheet, results / "bunding.png")
        sheets = [sheet, *text_sheets(bund_chapters(found), "A4")]
        save_pdf(sheets, results / "bunding.pdf", title=title_of(site))
        told = {"bunding": _told(found, rows)}
        if plan is None:
            read = {**site.hashes, **found.ground.terrain.hashes, **found.records.hashes}
            made = made_from(site.brief, read, folder, keeps=True)
            summary = whole_summary({"site": site.brief.site.name, **belongs_to(site), **told}, made, COLUMNS)
        else:
            summary = extended_summary(plan.summary, told, COLUMNS)
        keep_inputs(site, summary["inputs"], results)
        write_json(summary, results / "summary.json")


def _points(pegs: list[Row]) -> SurveyPoints:
    """Pegs as points of an instrument."""
    place = np.array([[peg[name] for name in ("easting_m", "northing_m", "ground_m")] for peg in pegs], np.float64)
    east, north, height = place.reshape(-1, 3).T.copy()
    return SurveyPoints(
        np.array([peg["number"] for peg in pegs], np.int64),
        east,
        north,
        height,
        tuple(f"{peg['unit']} {peg['mark']}" for peg in pegs),
    )


def _told(found: Bunding, rows: dict[str, list[Row]]) -> dict[str, Any]:
    """Size, totals, blocks, ground and words, in JSON types."""
    size = found.size
    return {
        "kind": size.kind,
        "sizes_m": list(size.sizes_m),
        "tree_catchment_m2": None if size.catchment_m2 is None else round(size.catchment_m2, 1),
        "design_rain_mm": None if size.rain_mm is None else round(size.rain_mm, 1),
        "mean_rain_mm": None if size.mean_mm is None else round(size.mean_mm, 1),
        "rain_from": size.rain_from,
        "met_share": round(size.met_share, 3),
        "totals": bund_totals(found),
        "blocks": rows["blocks"],
        "ground": rows["ground"],
        "bill": bill_rows(bund_bill(found), first_year=found.site.brief.planting.calendar_year(1)),
        "notes": list(found.notes),
        "cautions": caution_rows(found.cautions),
        "words": list(bund_sentences(found)),
    }
