"""Which issue of a plan a sheet or a file is of."""

from collections.abc import Mapping
from typing import Any

from swalekit.design.brief.site import Site

_DIGITS = 8
"""Digits of a hash that tell two plans apart."""


def number_of(hexadecimal: str) -> str:
    """Number of a plan: as many digits of the hash of what it says as tell two plans apart.

    Parameters
    ----------
    hexadecimal : str
        The hash.

    Returns
    -------
    str
        Its first eight digits.

    Examples
    --------
    >>> number_of("5d41402abc4b2a76")
    '5d41402a'
    """
    return hexadecimal[:_DIGITS]


def plan_number(summary: Mapping[str, Any]) -> str:
    """Number of the plan that a summary is of: that which it belongs to, else its own.

    Parameters
    ----------
    summary : mapping
        The summary.

    Returns
    -------
    str
        Eight digits; of a folder of an earlier version those of its seal.

    Examples
    --------
    >>> plan_number({"number": "5d41402a"}), plan_number({"number": "5d41402a", "of_plan": {"number": "1c402f25"}})
    ('5d41402a', '1c402f25')
    """
    own = summary.get("number") or number_of(summary.get("seal", ""))
    return str((summary.get("of_plan") or {"number": own})["number"])


def issue_words(summary: Mapping[str, Any]) -> str:
    """Revision, date and number of a plan, as they stand under a title.

    Parameters
    ----------
    summary : mapping
        With the brief, and the plan that it belongs to if there is one, as a summary records them.

    Returns
    -------
    str
        Empty where none is known.

    Examples
    --------
    >>> issue_words({"brief": {"site": {"revision": "B", "date": "2026-11-30"}}, "of_plan": {"number": "1c402f25"}})
    'revision B · 2026-11-30 · plan 1c402f25'
    """
    part = summary["brief"]["site"]
    return _issue(part.get("revision", ""), part.get("date", ""), plan_number(summary))


def issue_of(site: Site) -> str:
    """Revision, date and number of the plan that a site is of.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    str
        Empty where none is known.

    Examples
    --------
    >>> issue_of(site.with_values({"site.revision": "B"}))
    'revision B'
    """
    return _issue(site.brief.site.revision, site.brief.site.date, site.of_plan)


def subtitle_of(site: Site) -> str:
    """The second line of a title block: the brief's words, then revision, date and number of the plan.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    str
        Empty where none is known.

    Examples
    --------
    >>> subtitle_of(site.with_values({"site.subtitle": "for the Mills", "site.date": "May 2027"}))
    'for the Mills · May 2027'
    """
    return " · ".join(filter(None, (site.brief.site.subtitle, issue_of(site))))


def title_of(site: Site) -> str:
    """What a file says of itself: name of the site, revision, date and number of the plan.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    str
        In one line.

    Examples
    --------
    >>> title_of(site.with_values({"site.name": "North", "site.revision": "B"}))
    'North · revision B'
    """
    return " · ".join(filter(None, (site.brief.site.name, issue_of(site))))


def about_of(site: Site) -> dict[str, str]:
    """What a file with room for metadata says of itself.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    dict of str to str
        Name of the site, with revision, date and number of the plan; nothing where none of these is known.

    Examples
    --------
    >>> about_of(site), about_of(site.with_values({"site.name": "North", "site.revision": "B"}))
    ({}, {'site': 'North', 'revision': 'B'})
    """
    part = site.brief.site
    told = {"revision": part.revision, "date": part.date, "plan": site.of_plan}
    known = {key: text for key, text in told.items() if text}
    return {"site": part.name, **known} if known else {}


def _issue(revision: str, date: str, number: str) -> str:
    told = (f"revision {revision}" if revision else "", date, f"plan {number}" if number else "")
    return " · ".join(filter(None, told))
