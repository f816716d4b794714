"""A plan as one page that opens in a browser without a network: everything is inside the file."""

import json
from base64 import b64encode
from functools import partial
from importlib.resources import files
from typing import Any

import numpy as np
import plotly.graph_objects as go
from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from plotly.offline import get_plotlyjs

from swalekit.design.brief.issue import issue_words
from swalekit.design.plan.record import PlanRecord
from swalekit.design.plan.table import SWALE_COLUMNS
from swalekit.reporting.map.plan_map import plan_content
from swalekit.reporting.paper import palette
from swalekit.reporting.report import charts
from swalekit.reporting.report.map import map_figure
from swalekit.reporting.report.scene import scene_figure
from swalekit.reporting.report.sources import sources_used
from swalekit.reporting.words import account_words, plan_words
from swalekit.reporting.words.chance_words import chance_words, size_sentence
from swalekit.reporting.words.shown import number, shown, unit_name
from swalekit.reporting.words.stage_words import STAGE_FIGURES, stage_rows
from swalekit.units import to_us

_UNITS = ("", "m", "m2", "m3", "mm", "mm/h")
"""Units that a reader may want in US units."""
_PROFILE_POINTS = 150


def report_html(record: PlanRecord) -> str:
    """The report as HTML.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    str
        A page of its own: styles, scripts, images and figures are inside, and nothing is fetched.

    Notes
    -----
    Text is escaped wherever it goes: as HTML by the template, within scripts as JSON without angle brackets.

    Examples
    --------
    >>> report_html(record)[:15]
    '<!DOCTYPE html>'
    """
    places = Environment(
        loader=PackageLoader("swalekit.reporting.report"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    places.filters |= {"figure": _figure_tag, "unit": partial(unit_name, units=record.units)}
    places.globals["shown"] = partial(_shown_tag, record.units)
    return places.get_template("report.html").render(
        record=record,
        words=plan_words,
        chance_words=chance_words,
        size_sentence=partial(size_sentence, units=record.units, currency=record.brief["rates"]["currency"]),
        account=account_words,
        issue=issue_words(record.summary),
        palette=palette,
        columns={column.name: column for column in SWALE_COLUMNS},
        sources=sources_used(record),
        figures=_figures(record),
        picture=b64encode(record.bare_ground_png).decode("ascii"),
        bund_map="" if record.bunding is None else b64encode(record.bunding.map_png).decode("ascii"),
        stages=stage_rows(record),
        stage_figures=STAGE_FIGURES,
        stage_picture=b64encode(record.stages_png).decode("ascii"),
        page=_script_json(_page_values(record)),
        script=Markup(files("swalekit.reporting.report").joinpath("templates/report.js").read_text(encoding="utf-8")),
        plotly=Markup(get_plotlyjs().replace("</script", "<\\/script")),
    )


def _figures(record: PlanRecord) -> dict[str, Markup]:
    """Figures by the names of their places on the page, as JSON."""
    content = plan_content(record)
    figures: dict[str, go.Figure] = {
        "map": map_figure(record, content),
        "scene": scene_figure(record, content),
        "section": charts.section_figure(),
        "profile": charts.profile_figure(),
        "storm": charts.storm_figure(record),
    }
    if record.account is not None:
        figures["balance"] = charts.balance_figure(record.account)
    if record.options:
        figures["options"] = charts.options_figure(record)
    if record.growth is not None:
        figures["trees"] = charts.tree_water_figure(record.growth)
    if record.reliability is not None:
        figures["chances"] = charts.chance_figure(record.reliability)
    return {name: _safe(str(figure.to_json())) for name, figure in figures.items()}


def _page_values(record: PlanRecord) -> dict[str, Any]:
    """What the page's script works with."""
    return {
        "units": record.units,
        "us": {unit: {"factor": to_us(1.0, unit)[0], "name": unit_name(unit, units="us")} for unit in _UNITS},
        "metric": {unit: {"factor": 1.0, "name": unit_name(unit, units="metric")} for unit in _UNITS},
        "columns": [
            {"name": column.name, "unit": column.unit, "meaning": column.meaning, "decimals": column.decimals}
            for column in SWALE_COLUMNS
        ],
        "swales": record.swales,
        "sections": {name: _section_values(record, name) for name in record.sections},
        "options": list(plan_words.shown_options(record)),
        "currency": record.brief["rates"]["currency"],
    }


def _section_values(record: PlanRecord, swale: str) -> dict[str, Any]:
    """Section and profile of a swale in metres."""
    section, profile = record.sections[swale], record.profiles[swale]
    kept = np.unique(np.linspace(0, len(profile) - 1, _PROFILE_POINTS).astype(int))
    return {
        "xy": section.xy.round(3).tolist(),
        "slope": section.slope,
        "sill_m": round(section.sill_m, 3),
        "chainage_m": profile[kept, 0].round(1).tolist(),
        "ground_m": [None if np.isnan(height) else round(height, 3) for height in profile[kept, 1].tolist()],
    }


def _shown_tag(units: str, value: float | None, unit: str = "", decimals: int = 0, *, bare: bool = False) -> Markup:
    """A figure that the page can show in other units."""
    words = (number if bare else shown)(value, unit, units=units, decimals=decimals)
    si = "" if value is None else f"{value:.10g}"
    tag = '<span class="figure" data-si="{}" data-unit="{}" data-decimals="{}" data-bare="{}">{}</span>'
    return Markup(tag).format(si, unit, decimals, int(bare), words)


def _figure_tag(spec: Markup, name: str) -> Markup:
    return Markup('<script type="application/json" id="spec-{}">{}</script>').format(name, spec)


def _script_json(value: Any) -> Markup:
    return _safe(json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":")))


def _safe(text: str) -> Markup:
    """JSON that can't end the script element it stands in."""
    return Markup(text.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026"))
