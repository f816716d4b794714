"""The stakes of a design in a folder."""

from pathlib import Path

from swalekit.design.plan.design import Design
from swalekit.formats.exchange.dxf import write_dxf
from swalekit.formats.exchange.geopackage import write_layers
from swalekit.formats.exchange.gpx import write_gpx
from swalekit.formats.exchange.kml import write_kml
from swalekit.formats.exchange.landxml import write_landxml
from swalekit.formats.exchange.points_csv import write_points
from swalekit.reporting.paper.save import save_pdf
from swalekit.reporting.stakes.sheets import stake_sheets
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.provenance import write_json
from swalekit.results.plan.layers import frames
from swalekit.results.plan.record import plan_record
from swalekit.results.stakes.csv import write_stakes
from swalekit.results.stakes.layers import stake_layers
from swalekit.results.stakes.summary import stake_summary
from swalekit.staking.stake import Stakeout
from swalekit.staking.stake_out import survey_points
from swalekit.staking.tin import Tin, near_works, triangulate


def write_stakeout(
    design: Design,
    stakeout: Stakeout,
    folder: str | Path,
    *,
    levelled: str | Path | None = None,
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
    levelled : str or Path, optional
        File of the points that the design was cut to.
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
    """
    part, plan = design.site.brief.stakes, plan_record(design)
    with result_folder(folder, overwrite=overwrite) as results:
        write_stakes(stakeout, results / "stakes.csv")
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
        write_layers(frames(plan.layers, stakeout.crs) | stake_layers(stakeout), results / "site.gpkg")
        save_pdf(stake_sheets(plan, stakeout, paper=paper), results / "stakes.pdf")
        write_json(stake_summary(design, stakeout, folder=folder, levelled=levelled), results / "summary.json")


def _surface(design: Design, stakeout: Stakeout) -> Tin | None:
    """The design surface near the works; None where nothing is built."""
    if not stakeout.swales:
        return None
    grid = design.ground.terrain.grid
    return triangulate(design.surface.heights, grid, near_works(grid, stakeout.swales))
