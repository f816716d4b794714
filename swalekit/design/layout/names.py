"""Lasting names of lines: what runs where a line ran keeps its name, all else gets the next number."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
import shapely

from swalekit.contours.line import LevelLine
from swalekit.contours.polyline import chainages, path_of
from swalekit.design.brief.decided_lines import LAPSED, PROPOSED, DecidedLine
from swalekit.design.brief.settings import given_name
from swalekit.design.brief.site import Site

SAME_LINE_M = 10.0
"""A proposed line keeps the name of one that ran within this distance of it: our choice."""


def named_lines(site: Site, lines: Iterable[LevelLine]) -> tuple[LevelLine, ...]:
    """Give every line its lasting name.

    Parameters
    ----------
    site : Site
        What was decided, in the CRS of the lines.
    lines : iterable of LevelLine
        Lines from the top of the site downward, those that the designer gave with their names.

    Returns
    -------
    tuple of LevelLine
        The same, no two of one name.

    Notes
    -----
    A line that the brief asks for takes the name of the proposed or lapsed line that ran most nearly where it runs:
    by the length of line within ten metres of the other, each metre counted the less the farther it lies off (our
    choice). One takes one name, the pair that agrees best first. The rest get the next numbers in order, and never
    one that was given before.

    Examples
    --------
    >>> [line.name for line in named_lines(site, layout.lines)]
    ['S1', 'S2']
    """
    every = tuple(lines)
    free = [line for line in every if not given_name(site, line)]
    names = {} if site.lines is None else _known_names(free, site.lines.in_state(PROPOSED, LAPSED))
    number = 1 if site.lines is None else site.lines.next_number
    for place in range(len(free)):
        if place not in names:
            names[place] = f"S{number}"
            number += 1
    new = iter(names[place] for place in range(len(free)))
    return tuple(line if given_name(site, line) else _called(line, next(new)) for line in every)


def _called(line: LevelLine, name: str) -> LevelLine:
    return line if line.name == name else replace(line, name=name)


def _known_names(lines: Sequence[LevelLine], known: Sequence[DecidedLine]) -> dict[int, str]:
    """Names of the known lines that some lines run along, by the lines' places."""
    before = np.array([shapely.LineString(path_of(line.xy, closed=line.closed)) for line in known], dtype=object)
    ways = [shapely.LineString(line.path) for line in lines]
    near = shapely.STRtree(before).query(ways, predicate="dwithin", distance=SAME_LINE_M).T.tolist() if known else []
    pairs = []
    for place, other in near:
        path = lines[place].path
        away_m = shapely.distance(before[other], shapely.points(0.5 * (path[1:] + path[:-1])))
        alike_m = float(np.diff(chainages(path)) @ np.clip(1.0 - away_m / SAME_LINE_M, 0.0, None))
        if alike_m > 0.0:
            pairs.append((-alike_m, place, other))
    names: dict[int, str] = {}
    taken: set[int] = set()
    for _, place, other in sorted(pairs):
        if place not in names and other not in taken:
            names[place] = known[other].name
            taken.add(other)
    return names
