"""The stakes of a design in a folder."""

from pathlib import Path

from swalekit.design.design import Design
from swalekit.formats.dxf import write_dxf
from swalekit.formats.geopackage import write_layers
from swalekit.formats.gpx import write_gpx
from swalekit.formats.kml import write_kml
from swalekit.formats.landxml import write_landxml
from swalekit.formats.layers import layers
from swalekit.formats.point_csv import write_points
from swalekit.formats.result_folder import result_folder
from swalekit.formats.stake_csv import write_stakes
from swalekit.formats.stake_layers import stake_layers
from swalekit.formats.stake_summary import stake_summary
from swalekit.formats.summary import write_json
from swalekit.reporting.save import save_pages
from swalekit.reporting.stake_sheets import stake_sheets
from swalekit.staking.stake import Stakeout
from swalekit.staking.survey_points import survey_points
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
    part = design.site.brief.stakes
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
        write_layers(layers(design) | stake_layers(stakeout), results / "site.gpkg")
        save_pages(stake_sheets(design, stakeout, paper=paper), results / "stakes.pdf")
        write_json(stake_summary(design, stakeout, folder=folder, levelled=levelled), results / "summary.json")


def _surface(design: Design, stakeout: Stakeout) -> Tin | None:
    """The design surface near the works; None where nothing is built."""
    if not stakeout.swales:
        return None
    grid = design.ground.terrain.grid
    return triangulate(design.surface.heights, grid, near_works(grid, stakeout.swales))
