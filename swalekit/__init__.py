"""swalekit: from a terrain tile to sized, costed level ditches on contour.

The public names below are imported when first used, so that ``import swalekit`` is quick. Where IPython runs, as in a
notebook, values show themselves as tables and maps; ``%load_ext swalekit`` asks for the same.
"""

import sys
from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from swalekit.contours.keep_outs import KeepOut
    from swalekit.design.brief.brief import Brief
    from swalekit.design.brief.site import Site
    from swalekit.design.growth.grow import grow
    from swalekit.design.growth.growth import Growth
    from swalekit.design.growth.records import Records
    from swalekit.design.layout.ground import Ground, study_ground
    from swalekit.design.layout.sized_layout import SizedLayout
    from swalekit.design.options.comparison import Comparison, Option, compare, search
    from swalekit.design.options.limits import Limits
    from swalekit.design.options.spacing_table import PlantedStrip, spacing_rules_of
    from swalekit.design.options.variations import Variation, axes_of, grid_of
    from swalekit.design.plan.design import Design, Swale
    from swalekit.design.plan.pipeline import lay_out, plan, size_layout
    from swalekit.design.plan.table import swale_row, totals
    from swalekit.design.reliability.reliability import Reliability, how_sure
    from swalekit.design.survey.relevel import relevel
    from swalekit.design.survey.stakeout import stake_design
    from swalekit.design.survey.survey import Survey, survey_design
    from swalekit.errors import BriefError, GeometryError, InputError, OutputError, SwalekitError, TerrainError
    from swalekit.formats.exchange.points_csv import read_points
    from swalekit.formats.inputs.brief import check_brief, read_brief
    from swalekit.formats.inputs.records import records_of
    from swalekit.formats.inputs.site import read_site, site_from_values, site_of, terrain_of
    from swalekit.formats.terrain.raster import read_terrain
    from swalekit.grid import Grid
    from swalekit.reporting.charts.growth.growth_drawings import draw_tree_water, draw_want_met
    from swalekit.reporting.charts.options.option_drawings import draw_option, draw_options
    from swalekit.reporting.charts.options.trade_off_chart import draw_trade_off
    from swalekit.reporting.charts.reliability.reliability_drawings import draw_chances, draw_held_storms
    from swalekit.reporting.charts.storm.storm_drawings import draw_rain, draw_rain_record, draw_storm
    from swalekit.reporting.charts.survey.survey_profile import draw_survey
    from swalekit.reporting.map.terrain_map import draw_slope, draw_terrain
    from swalekit.reporting.stakes.swale_drawings import draw_long_profile, draw_section, draw_stakes
    from swalekit.results.batch.run import Batch, plan_sites
    from swalekit.results.growth.maps import draw_planting
    from swalekit.results.growth.write import write_growth
    from swalekit.results.options.write import write_comparison
    from swalekit.results.plan.again import plan_again, read_recorded_plan
    from swalekit.results.plan.maps import draw_design, draw_ground
    from swalekit.results.plan.summary import summary
    from swalekit.results.plan.write import write_plan
    from swalekit.results.reliability.write import write_reliability
    from swalekit.results.stakes.write import write_stakeout
    from swalekit.results.survey.write import write_survey_folder
    from swalekit.terrain.terrain import Terrain

_HOME: dict[str, str] = {
    "Batch": "swalekit.results.batch.run",
    "Brief": "swalekit.design.brief.brief",
    "BriefError": "swalekit.errors",
    "Comparison": "swalekit.design.options.comparison",
    "Design": "swalekit.design.plan.design",
    "GeometryError": "swalekit.errors",
    "Grid": "swalekit.grid",
    "Ground": "swalekit.design.layout.ground",
    "Growth": "swalekit.design.growth.growth",
    "InputError": "swalekit.errors",
    "KeepOut": "swalekit.contours.keep_outs",
    "Limits": "swalekit.design.options.limits",
    "Option": "swalekit.design.options.comparison",
    "OutputError": "swalekit.errors",
    "PlantedStrip": "swalekit.design.options.spacing_table",
    "Records": "swalekit.design.growth.records",
    "Reliability": "swalekit.design.reliability.reliability",
    "Site": "swalekit.design.brief.site",
    "SizedLayout": "swalekit.design.layout.sized_layout",
    "Survey": "swalekit.design.survey.survey",
    "Swale": "swalekit.design.plan.design",
    "SwalekitError": "swalekit.errors",
    "Terrain": "swalekit.terrain.terrain",
    "TerrainError": "swalekit.errors",
    "Variation": "swalekit.design.options.variations",
    "axes_of": "swalekit.design.options.variations",
    "check_brief": "swalekit.formats.inputs.brief",
    "compare": "swalekit.design.options.comparison",
    "draw_chances": "swalekit.reporting.charts.reliability.reliability_drawings",
    "draw_design": "swalekit.results.plan.maps",
    "draw_ground": "swalekit.results.plan.maps",
    "draw_held_storms": "swalekit.reporting.charts.reliability.reliability_drawings",
    "draw_long_profile": "swalekit.reporting.stakes.swale_drawings",
    "draw_option": "swalekit.reporting.charts.options.option_drawings",
    "draw_options": "swalekit.reporting.charts.options.option_drawings",
    "draw_planting": "swalekit.results.growth.maps",
    "draw_rain": "swalekit.reporting.charts.storm.storm_drawings",
    "draw_rain_record": "swalekit.reporting.charts.storm.storm_drawings",
    "draw_section": "swalekit.reporting.stakes.swale_drawings",
    "draw_slope": "swalekit.reporting.map.terrain_map",
    "draw_stakes": "swalekit.reporting.stakes.swale_drawings",
    "draw_storm": "swalekit.reporting.charts.storm.storm_drawings",
    "draw_survey": "swalekit.reporting.charts.survey.survey_profile",
    "draw_terrain": "swalekit.reporting.map.terrain_map",
    "draw_trade_off": "swalekit.reporting.charts.options.trade_off_chart",
    "draw_tree_water": "swalekit.reporting.charts.growth.growth_drawings",
    "draw_want_met": "swalekit.reporting.charts.growth.growth_drawings",
    "grid_of": "swalekit.design.options.variations",
    "grow": "swalekit.design.growth.grow",
    "how_sure": "swalekit.design.reliability.reliability",
    "lay_out": "swalekit.design.plan.pipeline",
    "plan": "swalekit.design.plan.pipeline",
    "plan_again": "swalekit.results.plan.again",
    "plan_sites": "swalekit.results.batch.run",
    "read_brief": "swalekit.formats.inputs.brief",
    "read_points": "swalekit.formats.exchange.points_csv",
    "read_recorded_plan": "swalekit.results.plan.again",
    "read_site": "swalekit.formats.inputs.site",
    "read_terrain": "swalekit.formats.terrain.raster",
    "records_of": "swalekit.formats.inputs.records",
    "relevel": "swalekit.design.survey.relevel",
    "search": "swalekit.design.options.comparison",
    "site_from_values": "swalekit.formats.inputs.site",
    "site_of": "swalekit.formats.inputs.site",
    "size_layout": "swalekit.design.plan.pipeline",
    "spacing_rules_of": "swalekit.design.options.spacing_table",
    "stake_design": "swalekit.design.survey.stakeout",
    "study_ground": "swalekit.design.layout.ground",
    "summary": "swalekit.results.plan.summary",
    "survey_design": "swalekit.design.survey.survey",
    "swale_row": "swalekit.design.plan.table",
    "terrain_of": "swalekit.formats.inputs.site",
    "totals": "swalekit.design.plan.table",
    "write_comparison": "swalekit.results.options.write",
    "write_growth": "swalekit.results.growth.write",
    "write_plan": "swalekit.results.plan.write",
    "write_reliability": "swalekit.results.reliability.write",
    "write_stakeout": "swalekit.results.stakes.write",
    "write_survey_folder": "swalekit.results.survey.write",
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
    import_module("swalekit.results.notebook").register(shell)


def _running_ipython() -> Any:
    """The shell of IPython that this is imported into; None outside."""
    get_ipython = getattr(sys.modules.get("IPython"), "get_ipython", None)
    return None if get_ipython is None else get_ipython()


_shell = _running_ipython()
if _shell is not None:
    load_ipython_extension(_shell)
