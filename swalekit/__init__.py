"""swalekit: from a terrain tile to sized, costed level ditches on contour.

The public names below are imported when first used, so that ``import swalekit`` is quick.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from swalekit.cli.results import write_comparison, write_plan
    from swalekit.contours.keep_outs import KeepOut
    from swalekit.design.brief import Brief
    from swalekit.design.design import Design, Swale
    from swalekit.design.ground import Ground, study_ground
    from swalekit.design.options import Comparison, Option, compare
    from swalekit.design.pipeline import lay_out, plan, size_layout
    from swalekit.design.site import Site
    from swalekit.design.sized_layout import SizedLayout
    from swalekit.design.table import swale_row, totals
    from swalekit.errors import BriefError, GeometryError, InputError, OutputError, SwalekitError, TerrainError
    from swalekit.formats.brief import check_brief, read_brief
    from swalekit.formats.site import read_site, site_from_values, terrain_of
    from swalekit.formats.summary import summary
    from swalekit.formats.terrain_raster import read_terrain
    from swalekit.grid import Grid
    from swalekit.terrain.terrain import Terrain

_HOME: dict[str, str] = {
    "Brief": "swalekit.design.brief",
    "BriefError": "swalekit.errors",
    "Comparison": "swalekit.design.options",
    "Design": "swalekit.design.design",
    "GeometryError": "swalekit.errors",
    "Grid": "swalekit.grid",
    "Ground": "swalekit.design.ground",
    "InputError": "swalekit.errors",
    "KeepOut": "swalekit.contours.keep_outs",
    "Option": "swalekit.design.options",
    "OutputError": "swalekit.errors",
    "Site": "swalekit.design.site",
    "SizedLayout": "swalekit.design.sized_layout",
    "Swale": "swalekit.design.design",
    "SwalekitError": "swalekit.errors",
    "Terrain": "swalekit.terrain.terrain",
    "TerrainError": "swalekit.errors",
    "check_brief": "swalekit.formats.brief",
    "compare": "swalekit.design.options",
    "lay_out": "swalekit.design.pipeline",
    "plan": "swalekit.design.pipeline",
    "read_brief": "swalekit.formats.brief",
    "read_site": "swalekit.formats.site",
    "read_terrain": "swalekit.formats.terrain_raster",
    "site_from_values": "swalekit.formats.site",
    "size_layout": "swalekit.design.pipeline",
    "study_ground": "swalekit.design.ground",
    "summary": "swalekit.formats.summary",
    "swale_row": "swalekit.design.table",
    "terrain_of": "swalekit.formats.site",
    "totals": "swalekit.design.table",
    "write_comparison": "swalekit.cli.results",
    "write_plan": "swalekit.cli.results",
}

__all__ = [
    "Brief",
    "BriefError",
    "Comparison",
    "Design",
    "GeometryError",
    "Grid",
    "Ground",
    "InputError",
    "KeepOut",
    "Option",
    "OutputError",
    "Site",
    "SizedLayout",
    "Swale",
    "SwalekitError",
    "Terrain",
    "TerrainError",
    "check_brief",
    "compare",
    "lay_out",
    "plan",
    "read_brief",
    "read_site",
    "read_terrain",
    "site_from_values",
    "size_layout",
    "study_ground",
    "summary",
    "swale_row",
    "terrain_of",
    "totals",
    "write_comparison",
    "write_plan",
]


def __getattr__(name: str) -> Any:
    """Import a public name from the room that defines it."""
    if name in _HOME:
        return getattr(import_module(_HOME[name]), name)
    message = f"module 'swalekit' has no attribute '{name}'"
    raise AttributeError(message)


def __dir__() -> list[str]:
    """Public names."""
    return list(__all__)
