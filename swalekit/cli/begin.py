"""``swalekit begin``: from a tile to a brief that runs, and the sheet for a first meeting."""

import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say
from swalekit.cli.questions import ask, house_place
from swalekit.units import METRES_PER_FOOT, MM_PER_INCH


@dataclass(frozen=True)
class AnswerOptions:
    """What is known of the site."""

    storm: Annotated[float | None, opt.option("rain to hold [mm; in with --us]")] = None
    soil: Annotated[str | None, opt.option("texture of the soil, as loam or 'sandy loam'")] = None
    machine_width: Annotated[float | None, opt.option("width of the digger's bucket [m; ft with --us]")] = None
    house: Annotated[str | None, opt.option("place of a house as 'latitude, longitude', or none")] = None
    purpose: Annotated[str | None, opt.option("trees, grazing or erosion")] = None
    rain_year: Annotated[float | None, opt.option("rain of an average year [mm; in with --us]")] = None

    def answers(self, *, us: bool) -> "swalekit.Answers":
        """The answers in SI.

        Parameters
        ----------
        us : bool
            Whether they are given in inches and feet.

        Returns
        -------
        Answers
            What is known.
        """
        mm, m = (MM_PER_INCH, METRES_PER_FOOT) if us else (1.0, 1.0)
        return swalekit.Answers(
            storm_mm=None if self.storm is None else mm * self.storm,
            texture=self.soil,
            bucket_m=None if self.machine_width is None else m * self.machine_width,
            house=None if self.house is None else house_place(self.house),
            purpose=self.purpose,
            rain_year_mm=None if self.rain_year is None else mm * self.rain_year,
        )


@dataclass(frozen=True)
class FolderOptions:
    """Where the folder goes, and what is printed."""

    out: opt.Out = Path("site")
    json: opt.Json = False
    quiet: opt.Quiet = False


def begin(
    tile: Annotated[
        Path,
        typer.Argument(
            help="terrain tile (GeoTIFF, ESRI ASCII grid, SRTM HGT), point cloud (LAS, LAZ), or a folder of either",
            readable=False,
        ),
    ],
    *,
    boundary: Annotated[
        Path | None, opt.option("land: GeoJSON, GeoPackage, Shapefile, KML, KMZ or GPX", readable=False)
    ] = None,
    keep_outs: Annotated[
        Path | None, opt.option("what is kept clear, the same formats; pins by their names", readable=False)
    ] = None,
    known: AnswerOptions,
    crs: Annotated[str | None, opt.option("CRS of a tile that names none, as EPSG:32630")] = None,
    vertical_unit: Annotated[str | None, opt.option("unit of the heights where the tile names none")] = None,
    cell: Annotated[float | None, opt.option("coarsen the tile to about this cell [m; ft with --us]")] = None,
    name: Annotated[str | None, opt.option("name of the site in the title block", "--name")] = None,
    us: Annotated[bool, opt.option("options and sheet in feet, inches and acres", "--us")] = False,
    folder: FolderOptions,
) -> None:
    """Begin a site: a folder with a brief that runs at once, every guess marked, and a sheet for the first meeting.

    At a terminal five questions are asked, Enter takes what stands in brackets; in a pipe nothing is asked.

    As in: swalekit begin hillside.tif --boundary land.kml --out site

    and then: swalekit plan site/site.toml
    """
    swalekit.results.folder.check_free(folder.out, overwrite=False)
    answers = known.answers(us=us)
    if sys.stdin is not None and sys.stdin.isatty() and not (folder.quiet or folder.json):
        answers = ask(answers, us=us)
    title = ({"name": name} if name else {}) | ({"units": "us"} if us else {})
    cell_m = cell if cell is None or not us else METRES_PER_FOOT * cell
    with say.progress() as stage:
        begun = swalekit.begin(
            tile, folder.out, boundary=boundary, keep_outs=keep_outs, answers=answers, title=title,
            terrain={"crs": crs, "vertical_unit": vertical_unit, "cell_m": cell_m}, stage=stage,
        )  # fmt: skip
    if folder.json:
        say.print_json(swalekit.results.begin.begun_summary(begun))
    elif not folder.quiet:
        say.print_begun(begun, folder.out)
