"""What a brief asks for, as a notebook shows it."""

from pathlib import PurePath
from typing import Any

from pydantic import BaseModel

from swalekit.design.brief.site import Site
from swalekit.reporting.notebook.html_view import html_view


def site_view(site: Site) -> str:
    """What a brief asks for, key by key; what stands at its usual value is left out.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    str
        HTML: name of the site, a table of part, key, value and meaning, and notes.

    Examples
    --------
    >>> import re
    >>> re.findall(">([^<>]+)</td>", site_view(site))[8:11]
    ['storm', 'depth_mm', '50']
    """
    part = site.brief.site
    rows = [
        (name, key, _given(value), type(asked).model_fields[key].description or "")
        for name, asked in site.brief
        if asked is not part
        for key, value in _unusual(asked).items()
    ]
    table = ("Part", "Key", "Value", "Meaning"), rows
    return html_view(part.name, part.subtitle, table=table, names=(0, 1), notes=(2, 3), lists=[("Notes", site.notes)])


def _given(value: Any) -> str:
    """A value of a brief as it is written there."""
    if isinstance(value, dict):
        return ", ".join(f"{key} {_given(entry)}" for key, entry in value.items())
    if isinstance(value, BaseModel):
        return _given(_unusual(value))
    if isinstance(value, str):
        return PurePath(value).name if PurePath(value).suffix else value
    if isinstance(value, tuple | list):
        return ", ".join(map(_given, value))
    return f"{value:g}" if isinstance(value, float) else str(value)


def _unusual(part: BaseModel) -> dict[str, Any]:
    """Keys of a part of a brief whose value isn't the usual one."""
    fields = type(part).model_fields
    return {key: value for key, value in part if value != fields[key].get_default(call_default_factory=True)}
