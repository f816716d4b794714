"""How values show themselves in a notebook; nothing is imported for it until one is shown."""

from collections.abc import Callable
from functools import partial
from typing import Any

_VIEWS: dict[tuple[str, str], tuple[str, str]] = {
    ("swalekit.terrain.terrain", "Terrain"): ("image/png", "terrain"),
    ("swalekit.design.brief.site", "Site"): ("text/html", "site"),
    ("swalekit.design.layout.ground", "Ground"): ("text/html", "ground"),
    ("swalekit.design.plan.design", "Design"): ("text/html", "design"),
    ("swalekit.design.plan.design", "Swale"): ("text/html", "swale"),
    ("swalekit.design.options.comparison", "Comparison"): ("text/html", "comparison"),
    ("swalekit.design.options.spacing_table", "SpacingTable"): ("text/html", "spacing"),
    ("swalekit.design.growth.growth", "Growth"): ("text/html", "growth"),
    ("swalekit.design.reliability.reliability", "Reliability"): ("text/html", "reliability"),
    ("swalekit.design.survey.survey", "Survey"): ("text/html", "survey"),
    ("swalekit.staking.stake", "Stakeout"): ("text/html", "stakeout"),
}
"""Module and name of a type -> format and view."""

_MAPPED = ("terrain", "ground", "design", "growth")
"""Views that draw a map."""


def load_ipython_extension(shell: Any) -> None:
    """Let a running IPython show the values of this package; doing it twice is the same as once.

    Parameters
    ----------
    shell : InteractiveShell
        IPython's shell, as `get_ipython` gives it.
    """
    for (module, name), (kind, view) in _VIEWS.items():
        shell.display_formatter.formatters[kind].for_type_by_name(module, name, partial(show, view))


def show(view: str, value: Any) -> Any:
    """A value as a notebook shows it: HTML, or a PNG and its size.

    Parameters
    ----------
    view : str
        Name of the view.
    value : object
        The value.
    """
    if view in _MAPPED:
        return _with_map(view, value)
    from swalekit.reporting.notebook import site_view, value_views

    plain: Callable[[Any], str] = getattr(site_view if view == "site" else value_views, f"{view}_view")
    return plain(value)


def _with_map(view: str, value: Any) -> Any:
    """A view with the value's own map in it."""
    from swalekit.reporting.map.cell import draw_content
    from swalekit.reporting.map.plan_map import plan_content
    from swalekit.reporting.map.terrain_map import draw_terrain
    from swalekit.reporting.notebook.value_views import design_view, ground_view, growth_view
    from swalekit.reporting.paper.save import picture_of
    from swalekit.results.growth.maps import draw_planting
    from swalekit.results.plan.maps import draw_ground
    from swalekit.results.plan.record import plan_record

    match view:
        case "terrain":
            return picture_of(draw_terrain(value))
        case "ground":
            return ground_view(value, draw_ground(value))
        case "growth":
            return growth_view(value, draw_planting(value))
        case _:
            plan = plan_record(value)
            return design_view(plan, draw_content(plan_content(plan)))
