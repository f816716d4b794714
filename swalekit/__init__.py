"""swalekit: from a terrain tile to sized, costed level ditches on contour.

The public names below are imported when first used, so that ``import swalekit`` is quick. Where IPython runs, as in a
notebook, values show themselves as tables and maps; ``%load_ext swalekit`` asks for the same.
"""

import sys
from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from swalekit.cli.batch_run import Batch, plan_sites
    from swalekit.cli.grow_results import write_growth
    from swalekit.cli.option_results import write_comparison
    from swalekit.cli.reliability_results import write_reliability
    from swalekit.cli.results import write_plan
    from swalekit.cli.site_maps import draw_design, draw_ground, draw_planting
    from swalekit.cli.stake_results import write_stakeout
    from swalekit.cli.survey_results import write_survey_folder
    from swalekit.contours.keep_outs import KeepOut
    from swalekit.design.brief import Brief
    from swalekit.design.design import Design, Swale
    from swalekit.design.ground import Ground, study_ground
    from swalekit.design.grow import grow
    from swalekit.design.grow_inputs import Records
    from swalekit.design.growth import Growth
    from swalekit.design.option_limits import Limits
    from swalekit.design.options import Comparison, Option, compare, search
    from swalekit.design.pipeline import lay_out, plan, size_layout
    from swalekit.design.relevel import relevel
    from swalekit.design.site import Site
    from swalekit.design.sized_layout import SizedLayout
    from swalekit.design.spacing_table import PlantedStrip, spacing_rules_of
    from swalekit.design.stakeout import stake_design
    from swalekit.design.survey import Survey, survey_design
    from swalekit.design.table import swale_row, totals
    from swalekit.design.uncertainty import Reliability, how_sure
    from swalekit.design.variations import Variation, axes_of, grid_of
    from swalekit.errors import BriefError, GeometryError, InputError, OutputError, SwalekitError, TerrainError
    from swalekit.formats.brief import check_brief, read_brief
    from swalekit.formats.grow_records import records_of
    from swalekit.formats.plan_again import plan_again, read_recorded_plan
    from swalekit.formats.point_csv import read_points
    from swalekit.formats.site import read_site, site_from_values, site_of, terrain_of
    from swalekit.formats.summary import summary
    from swalekit.formats.terrain_raster import read_terrain
    from swalekit.grid import Grid
    from swalekit.reporting.check_drawings import draw_chances, draw_held_storms, draw_survey
    from swalekit.reporting.growth_drawings import draw_tree_water, draw_want_met
    from swalekit.reporting.option_drawings import draw_option, draw_options
    from swalekit.reporting.storm_drawings import draw_rain, draw_rain_record, draw_storm
    from swalekit.reporting.swale_drawings import draw_long_profile, draw_section, draw_stakes
    from swalekit.reporting.terrain_map import draw_slope, draw_terrain
    from swalekit.reporting.trade_off_chart import draw_trade_off
    from swalekit.terrain.terrain import Terrain

_HOME: dict[str, str] = {
    "Batch": "swalekit.cli.batch_run",
    "Brief": "swalekit.design.brief",
    "BriefError": "swalekit.errors",
    "Comparison": "swalekit.design.options",
    "Design": "swalekit.design.design",
    "GeometryError": "swalekit.errors",
    "Grid": "swalekit.grid",
    "Ground": "swalekit.design.ground",
    "Growth": "swalekit.design.growth",
    "InputError": "swalekit.errors",
    "KeepOut": "swalekit.contours.keep_outs",
    "Limits": "swalekit.design.option_limits",
    "Option": "swalekit.design.options",
    "OutputError": "swalekit.errors",
    "PlantedStrip": "swalekit.design.spacing_table",
    "Records": "swalekit.design.grow_inputs",
    "Reliability": "swalekit.design.uncertainty",
    "Site": "swalekit.design.site",
    "SizedLayout": "swalekit.design.sized_layout",
    "Survey": "swalekit.design.survey",
    "Swale": "swalekit.design.design",
    "SwalekitError": "swalekit.errors",
    "Terrain": "swalekit.terrain.terrain",
    "TerrainError": "swalekit.errors",
    "Variation": "swalekit.design.variations",
    "axes_of": "swalekit.design.variations",
    "check_brief": "swalekit.formats.brief",
    "compare": "swalekit.design.options",
    "draw_chances": "swalekit.reporting.check_drawings",
    "draw_design": "swalekit.cli.site_maps",
    "draw_ground": "swalekit.cli.site_maps",
    "draw_held_storms": "swalekit.reporting.check_drawings",
    "draw_long_profile": "swalekit.reporting.swale_drawings",
    "draw_option": "swalekit.reporting.option_drawings",
    "draw_options": "swalekit.reporting.option_drawings",
    "draw_planting": "swalekit.cli.site_maps",
    "draw_rain": "swalekit.reporting.storm_drawings",
    "draw_rain_record": "swalekit.reporting.storm_drawings",
    "draw_section": "swalekit.reporting.swale_drawings",
    "draw_slope": "swalekit.reporting.terrain_map",
    "draw_stakes": "swalekit.reporting.swale_drawings",
    "draw_storm": "swalekit.reporting.storm_drawings",
    "draw_survey": "swalekit.reporting.check_drawings",
    "draw_terrain": "swalekit.reporting.terrain_map",
    "draw_trade_off": "swalekit.reporting.trade_off_chart",
    "draw_tree_water": "swalekit.reporting.growth_drawings",
    "draw_want_met": "swalekit.reporting.growth_drawings",
    "grid_of": "swalekit.design.variations",
    "grow": "swalekit.design.grow",
    "how_sure": "swalekit.design.uncertainty",
    "lay_out": "swalekit.design.pipeline",
    "plan": "swalekit.design.pipeline",
    "plan_again": "swalekit.formats.plan_again",
    "plan_sites": "swalekit.cli.batch_run",
    "read_brief": "swalekit.formats.brief",
    "read_points": "swalekit.formats.point_csv",
    "read_recorded_plan": "swalekit.formats.plan_again",
    "read_site": "swalekit.formats.site",
    "read_terrain": "swalekit.formats.terrain_raster",
    "records_of": "swalekit.formats.grow_records",
    "relevel": "swalekit.design.relevel",
    "search": "swalekit.design.options",
    "site_from_values": "swalekit.formats.site",
    "site_of": "swalekit.formats.site",
    "size_layout": "swalekit.design.pipeline",
    "spacing_rules_of": "swalekit.design.spacing_table",
    "stake_design": "swalekit.design.stakeout",
    "study_ground": "swalekit.design.ground",
    "summary": "swalekit.formats.summary",
    "survey_design": "swalekit.design.survey",
    "swale_row": "swalekit.design.table",
    "terrain_of": "swalekit.formats.site",
    "totals": "swalekit.design.table",
    "write_comparison": "swalekit.cli.option_results",
    "write_growth": "swalekit.cli.grow_results",
    "write_plan": "swalekit.cli.results",
    "write_reliability": "swalekit.cli.reliability_results",
    "write_stakeout": "swalekit.cli.stake_results",
    "write_survey_folder": "swalekit.cli.survey_results",
}

__all__ = [
    "Batch",
    "Brief",
    "BriefError",
    "Comparison",
    "Design",
    "GeometryError",
    "Grid",
    "Ground",
    "Growth",
    "InputError",
    "KeepOut",
    "Limits",
    "Option",
    "OutputError",
    "PlantedStrip",
    "Records",
    "Reliability",
    "Site",
    "SizedLayout",
    "Survey",
    "Swale",
    "SwalekitError",
    "Terrain",
    "TerrainError",
    "Variation",
    "axes_of",
    "check_brief",
    "compare",
    "draw_chances",
    "draw_design",
    "draw_ground",
    "draw_held_storms",
    "draw_long_profile",
    "draw_option",
    "draw_options",
    "draw_planting",
    "draw_rain",
    "draw_rain_record",
    "draw_section",
    "draw_slope",
    "draw_stakes",
    "draw_storm",
    "draw_survey",
    "draw_terrain",
    "draw_trade_off",
    "draw_tree_water",
    "draw_want_met",
    "grid_of",
    "grow",
    "how_sure",
    "lay_out",
    "plan",
    "plan_again",
    "plan_sites",
    "read_brief",
    "read_points",
    "read_recorded_plan",
    "read_site",
    "read_terrain",
    "records_of",
    "relevel",
    "search",
    "site_from_values",
    "site_of",
    "size_layout",
    "spacing_rules_of",
    "stake_design",
    "study_ground",
    "summary",
    "survey_design",
    "swale_row",
    "terrain_of",
    "totals",
    "write_comparison",
    "write_growth",
    "write_plan",
    "write_reliability",
    "write_stakeout",
    "write_survey_folder",
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


def load_ipython_extension(shell: Any) -> None:
    """Let IPython show terrains, designs and the like as tables and maps."""
    import_module("swalekit.cli.notebook").register(shell)


def _running_ipython() -> Any:
    """The shell of IPython that this is imported into; None outside."""
    get_ipython = getattr(sys.modules.get("IPython"), "get_ipython", None)
    return None if get_ipython is None else get_ipython()


_shell = _running_ipython()
if _shell is not None:
    load_ipython_extension(_shell)
