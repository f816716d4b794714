"""How values show themselves in a notebook; nothing is imported for it until one is shown."""

from typing import Any

_MODULES = {
    "Terrain": "swalekit.terrain.terrain",
    "Site": "swalekit.design.brief.site",
    "Ground": "swalekit.design.layout.ground",
    "Design": "swalekit.design.plan.design",
    "Swale": "swalekit.design.plan.design",
    "Lines": "swalekit.design.brief.decided_lines",
    "PlanChanges": "swalekit.design.plan.changes",
    "Comparison": "swalekit.design.options.comparison",
    "SpacingTable": "swalekit.design.options.spacing_table",
    "Growth": "swalekit.design.growth.growth",
    "Reliability": "swalekit.design.reliability.reliability",
    "Survey": "swalekit.design.survey.survey",
    "Stakeout": "swalekit.staking.stake",
}
"""Type -> the module that defines it."""


def load_ipython_extension(shell: Any) -> None:
    """Let a running IPython show the values of this package; doing it twice is the same as once.

    Parameters
    ----------
    shell : InteractiveShell
        IPython's shell, as `get_ipython` gives it.

    Examples
    --------
    >>> from types import SimpleNamespace
    >>> from IPython.core.formatters import DisplayFormatter
    >>> shell = SimpleNamespace(display_formatter=DisplayFormatter())
    >>> load_ipython_extension(shell)
    >>> shown, _ = shell.display_formatter.format(design.swales[0])
    >>> sorted(shown)
    ['text/html', 'text/plain']
    """
    for name, module in _MODULES.items():
        kind = "image/png" if name == "Terrain" else "text/html"
        shell.display_formatter.formatters[kind].for_type_by_name(module, name, show)


def show(value: Any) -> Any:
    """A value as a notebook shows it: HTML, or of a terrain a PNG and its size.

    Parameters
    ----------
    value : object
        The value.

    Returns
    -------
    str or (bytes, dict)
        What Jupyter asks a value for.

    Examples
    --------
    >>> show(design.swales[0])[:22]
    '<div class="swalekit" '
    """
    from swalekit.design.growth.growth import Growth
    from swalekit.design.layout.ground import Ground
    from swalekit.design.plan.changes import PlanChanges
    from swalekit.design.plan.design import Design
    from swalekit.reporting.map.cell import draw_content
    from swalekit.reporting.map.plan_map import plan_content
    from swalekit.reporting.map.terrain_map import draw_terrain
    from swalekit.reporting.notebook.views import VIEWS
    from swalekit.reporting.paper.save import picture_of
    from swalekit.results.changes.write import draw_changes
    from swalekit.results.growth.maps import draw_planting
    from swalekit.results.plan.maps import draw_ground
    from swalekit.results.plan.record import plan_record
    from swalekit.terrain.terrain import Terrain

    match value:
        case Terrain():
            return picture_of(draw_terrain(value))
        case Ground():
            return VIEWS[Ground](value, draw_ground(value))
        case Growth():
            return VIEWS[Growth](value, draw_planting(value))
        case PlanChanges():
            return VIEWS[PlanChanges](value, draw_changes(value))
        case Design():
            plan = plan_record(value)
            return VIEWS[type(plan)](plan, draw_content(plan_content(plan)))
    return VIEWS[type(value)](value)
