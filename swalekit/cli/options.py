"""Options shared by the commands, each declared once."""

from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, is_dataclass
from functools import wraps
from inspect import Parameter, Signature, signature
from pathlib import Path
from types import MappingProxyType
from typing import Annotated, Any

import typer

import swalekit
from swalekit.cli import say

HALF_WET = 0.5
"""How wet the soil of a texture is taken to be before the storm, 0 dry to 1 full: our choice."""

INTERRUPTED = 130
"""Exit code of work that Ctrl-C ended early."""


def option(meaning: str, *names: str, **choices: Any) -> Any:
    """Declare an option of a command.

    Parameters
    ----------
    meaning : str
        What its help says.
    *names : str
        Its name, where it isn't the parameter's.
    **choices : object
        What else `typer.Option` takes.

    Returns
    -------
    OptionInfo
        For `Annotated`.

    Examples
    --------
    >>> option("folder for the results", "--out").help
    'folder for the results'
    """
    return typer.Option(*names, help=meaning, **choices)


# readable=False: whether a file can be read is told by its reader, in one line
Source = Annotated[
    Path,
    typer.Argument(
        help="site brief (.toml), or a terrain tile (GeoTIFF, ESRI ASCII grid, SRTM HGT), a point cloud (LAS, LAZ), "
        "or a folder of either",
        readable=False,
    ),
]
Brief = Annotated[Path, typer.Argument(help="site brief (.toml)", readable=False)]
Laid = Annotated[
    Path,
    typer.Argument(help="folder that plan or relevel wrote; or a site brief (.toml), planned anew", readable=False),
]
Moved = Annotated[
    Path | None, option("site brief that says where moved inputs of the folder lie now", "--brief", readable=False)
]
Out = Annotated[Path, option("folder for the results", "--out", readable=False)]
Json = Annotated[bool, option("print the summary as JSON instead of a table", "--json")]
Quiet = Annotated[bool, option("print nothing but errors", "--quiet")]


@dataclass(frozen=True)
class ResultOptions:
    """Where the result goes, what becomes of an earlier one there, and what is printed."""

    out: Out
    overwrite: Annotated[bool, option("replace an earlier result in the folder", "--overwrite")] = False
    json: Json = False
    quiet: Quiet = False

    @contextmanager
    def work(
        self, *, first: str = "reading the terrain", carried: Mapping[Path, str] = MappingProxyType({})
    ) -> Iterator[Callable[[str], None]]:
        """Check that a result may be written to the folder, and give what shows the stages of the work that follow.

        Parameters
        ----------
        first : str
            The first stage.
        carried : mapping of Path to str
            Files that may be edited there, as `swalekit.results.folder.check_free` takes them.

        Yields
        ------
        callable
            Told the name of each stage that begins.

        Examples
        --------
        >>> with ResultOptions(Path("not there")).work() as stage:
        ...     stage("tracing lines")
        """
        swalekit.results.folder.check_free(self.out, overwrite=self.overwrite, carried=carried)
        with say.progress() as stage:
            stage(first)
            yield stage

    def tell(self, words: Callable[..., None], *results: Any, first: str = "") -> None:
        """Print the summary, or what a function says of results and their folder; or nothing.

        Parameters
        ----------
        words : callable
            Prints the results for a reader, given them and their folder.
        *results : object
            What was found.
        first : str
            What is said before; nothing where empty.

        Examples
        --------
        >>> ResultOptions(Path("plan")).tell(print, "2 swales in")
        2 swales in plan
        """
        if self.json:
            say.print_summary(self.out)
        elif not self.quiet:
            say.print_first(first)
            words(*results, self.out)


@dataclass(frozen=True)
class TileOptions:
    """What options say of a tile in place of a brief."""

    start: Annotated[float | None, option("highest level [m; ft with --us]")] = None
    storm: Annotated[float | None, option("design storm: depth of rain to hold [mm; in with --us]")] = None
    curve_number: Annotated[float | None, option("NRCS curve number, 30 to 100")] = None
    texture: Annotated[
        str | None, option("texture of the soil: how a ditch soaks away and, without --curve-number, how much runs off")
    ] = None
    boundary: Annotated[
        Path | None, option("land: GeoJSON, GeoPackage, Shapefile, KML, KMZ or GPX", readable=False)
    ] = None
    keep_outs: Annotated[Path | None, option("keep-outs with properties kind, name, setback_m", readable=False)] = None
    lines: Annotated[
        Path | None, option("lines held, dropped and drawn (lines.gpkg of an earlier plan, or strokes)", readable=False)
    ] = None
    crossings: Annotated[Path | None, option("ways across the lines with kind, use, name, width_m", readable=False)] = (
        None
    )
    crs: Annotated[str | None, option("CRS of a tile that names none, as EPSG:32630")] = None
    cell: Annotated[float | None, option("coarsen the tile to about this cell [m; ft with --us]")] = None
    name: Annotated[str | None, option("name of the site in the title block", "--name")] = None
    us: Annotated[bool, option("options and terminal in feet, inches and cubic yards", "--us")] = False

    @property
    def by_brief_key(self) -> dict[str, Any]:
        """Each option's value, or None, by part and key of the brief."""
        return {
            "levels.start_m": self.start,
            "storm.depth_mm": self.storm,
            "soil.curve_number": self.curve_number,
            "soil.texture": self.texture,
            "soil.initial_saturation": HALF_WET if self.texture is not None and self.curve_number is None else None,
            "area.boundary": self.boundary,
            "area.keep_outs": self.keep_outs,
            "lines.file": self.lines,
            "area.crossings": self.crossings,
            "terrain.crs": self.crs,
            "terrain.cell_m": self.cell,
            "site.name": self.name,
        }


def with_option_groups(command: Callable[..., None]) -> Callable[..., None]:
    """Put the options of a group, one by one, in the place of a command's parameter whose type is a dataclass.

    What they are when not given is told by the command's default for the group, or else by the dataclass.

    Parameters
    ----------
    command : callable
        The command.

    Returns
    -------
    callable
        The command with an option a parameter, as typer takes it.

    Examples
    --------
    >>> def show(source: Source, result: ResultOptions = ResultOptions(Path("shown"))) -> None:
    ...     result.tell(print, source)
    >>> parameters = signature(with_option_groups(show)).parameters
    >>> list(parameters), parameters["out"].default.name
    (['source', 'out', 'overwrite', 'json', 'quiet'], 'shown')
    """
    listed: list[Parameter] = []
    groups: dict[str, tuple[type, list[str]]] = {}
    for own in signature(command).parameters.values():
        if isinstance(own.annotation, type) and is_dataclass(own.annotation):
            members = signature(own.annotation).parameters
            usual = {} if own.default is Parameter.empty else vars(own.default)
            groups[own.name] = own.annotation, list(members)
            listed += [member.replace(default=usual.get(name, member.default)) for name, member in members.items()]
        else:
            listed.append(own)

    @wraps(command)
    def spread(**given: Any) -> None:
        made = {
            name: group(**{member: given.pop(member) for member in members})
            for name, (group, members) in groups.items()
        }
        command(**made, **given)

    spread.__signature__ = Signature(  # type: ignore[attr-defined]
        [parameter.replace(kind=Parameter.KEYWORD_ONLY) for parameter in listed]
    )
    spread.__annotations__ = {parameter.name: parameter.annotation for parameter in listed}
    return spread
