"""Options shared by the commands, each declared once."""

from pathlib import Path
from typing import Annotated

import typer

# readable=False: whether a file can be read is told by its reader, in one line
Source = Annotated[
    Path,
    typer.Argument(help="site brief (.toml), or a terrain tile (GeoTIFF, ESRI ASCII grid, SRTM HGT)", readable=False),
]
Storm = Annotated[float | None, typer.Option("--storm", help="design storm: depth of rain to hold [mm; in with --us]")]
CurveNumber = Annotated[float | None, typer.Option("--curve-number", help="NRCS curve number, 30 to 100")]
Start = Annotated[float | None, typer.Option("--start", help="highest level [m; ft with --us]")]
Boundary = Annotated[
    Path | None, typer.Option("--boundary", help="polygon of the site (GeoJSON, GeoPackage)", readable=False)
]
KeepOuts = Annotated[
    Path | None, typer.Option("--keep-outs", help="keep-outs with properties kind, name, setback_m", readable=False)
]
Crs = Annotated[str | None, typer.Option("--crs", help="CRS of a tile that names none, as EPSG:32630")]
Cell = Annotated[float | None, typer.Option("--cell", help="coarsen the tile to about this cell [m; ft with --us]")]
Name = Annotated[str | None, typer.Option("--name", help="name of the site in the title block")]
Us = Annotated[bool, typer.Option("--us", help="options and terminal in feet, inches and cubic yards")]
Overwrite = Annotated[bool, typer.Option("--overwrite", help="replace an earlier result in the folder")]
Json = Annotated[bool, typer.Option("--json", help="print the summary as JSON instead of a table")]
Quiet = Annotated[bool, typer.Option("--quiet", help="print nothing but errors")]
