"""Tables of microcatchments: units, blocks, pegs, what becomes of the ground, totals."""

import numpy as np

from swalekit.design.bunding.bunding import Bunding, unit_names
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.microcatchments.trees import tree_places
from swalekit.microcatchments.units import HIGHEST, LEFT, LOWEST, RIGHT
from swalekit.terrain.sample import sample_heights

Row = dict[str, Entry]

UNIT_COLUMNS: tuple[Column, ...] = (
    Column("unit", "", "name: the block, and the number in it, row by row from the left, looking uphill"),
    Column("block", "", "block of straight rows on ground that falls one way"),
    Column("kind", "", "negarim or semi-circular"),
    Column("size_m", "m", "side of the square, or radius"),
    Column("easting_m", "m", "easting of the first tree, in the pit or at the foot of the bow", 2),
    Column("northing_m", "m", "its northing", 2),
    Column("ground_m", "m", "height of the ground there", 2),
    Column("lowest_m", "m", "ground at the lowest corner, or at the foot of the bow", 2),
    Column("left_m", "m", "ground at the left corner or tip, looking uphill", 2),
    Column("right_m", "m", "ground at the right corner or tip", 2),
    Column("slope", "m/m", "fall of the plane through its ground", 4),
    Column("trees", "", "trees that it waters"),
    Column("bund_height_m", "m", "greatest height of the bund above the ground", 2),
    Column("crest_m", "m", "level of the crest at the lowest corner, or above the foot of the bow", 2),
    Column("bund_m3", "m3", "soil in its bund, shared walls counted once", 2),
    Column("pit_m3", "m3", "soil from its pit", 2),
    Column("unit_m2", "m2", "ground whose rain it gathers, its own included", 0),
    Column("runoff_m3", "m3", "water that the design storm brings", 2),
    Column("held_m3", "m3", "water that it holds, with the pit", 2),
    Column("spilled_m3", "m3", "what it can't hold of the design storm", 2),
)
"""Columns of ``microcatchments.csv``, a row a unit."""

BLOCK_COLUMNS: tuple[Column, ...] = (
    Column("block", "", "name"),
    Column("units", "", "units in it"),
    Column("trees", "", "trees in it"),
    Column("size_m", "m", "side of the squares, or radius"),
    Column("falls_to_deg", "degrees", "bearing of the fall, from grid north clockwise", 0),
    Column("slope", "m/m", "mean fall of its units", 4),
    Column("bund_height_m", "m", "greatest height of a bund", 2),
    Column("bund_m3", "m3", "soil in its bunds"),
    Column("pit_m3", "m3", "soil from its pits"),
    Column("runoff_m3", "m3", "water that the design storm brings"),
    Column("held_m3", "m3", "water that its units can hold"),
    Column("spilling", "", "units that spill in the design storm"),
)
"""Columns of ``blocks.csv``, a row a block."""

PEG_COLUMNS: tuple[Column, ...] = (
    Column("number", "", "number of the peg, as in points.csv"),
    Column("unit", "", "first unit that it belongs to"),
    Column("mark", "", "what stands there: tree, lowest, left, highest or right corner, tip or foot of the bow"),
    Column("easting_m", "m", "easting", 2),
    Column("northing_m", "m", "northing", 2),
    Column("ground_m", "m", "height of the ground", 2),
    Column("bund_m", "m", "height of the bund above the ground there; empty where there is none", 2),
)
"""Columns of ``stakes.csv``, a row a peg; one that units share stands once."""

GROUND_COLUMNS: tuple[Column, ...] = (
    Column("ground", "", "what becomes of it"),
    Column("area_m2", "m2", "area", 0),
)
"""Columns of ``ground.csv``, a row a reason."""

TOTAL_COLUMNS: tuple[Column, ...] = (
    Column("units", "", "units", of=lambda found: len(found.units)),
    Column("blocks", "", "blocks", of=lambda found: int(found.units.block.max(initial=0))),
    Column("trees", "", "trees"),
    Column("asked_m2", "m2", "ground asked for", 0, "asked.asked.area"),
    Column("laid_m2", "m2", "ground that units enclose", 0, lambda found: found.ground_m2["laid"]),
    Column("catchment_m2", "m2", "catchment that a tree needs besides the ground of its roots", 1, "size.catchment_m2"),
    Column("rain_mm", "mm", "rain that it is sized for", 0, "size.rain_mm"),
    Column("bund_m3", "m3", "soil in all bunds, the sum of the units'", 1),
    Column("pit_m3", "m3", "soil from all pits", 1, lambda found: float(found.units.pit_m3.sum())),
    Column("runoff_m3", "m3", "water that the design storm brings them", 1, lambda found: float(found.runoff_m3.sum())),
    Column("held_m3", "m3", "water that they can hold", 1, lambda found: float(found.units.held_m3.sum())),
    Column("spilling", "", "units that spill in the design storm"),
    Column("spilled_m3", "m3", "what they can't hold of it", 1, lambda found: float(found.spilled_m3.sum())),
    Column("cost", "", "cost of bunds and pits at the brief's rates, empty where it names no price", 0),
)

_CORNERS = {LOWEST: "lowest corner", LEFT: "left corner", HIGHEST: "highest corner", RIGHT: "right corner"}
_TIPS = {LOWEST: "foot of the bow", LEFT: "left tip", RIGHT: "right tip"}
_SAME_M = 0.05
"""Pegs closer to each other than this are one."""


def unit_rows(found: Bunding) -> list[Row]:
    """Every unit by the names of `UNIT_COLUMNS`.

    Parameters
    ----------
    found : Bunding
        The microcatchments.

    Returns
    -------
    list of dict
        A row a unit.

    Examples
    --------
    >>> row = unit_rows(bunding)[0]
    >>> row["unit"], row["bund_height_m"], row["trees"]
    ('M1-1', 0.45, 1)
    """
    units, terrain = found.units, found.ground.terrain
    xy, owner = tree_places(units)
    _, first = np.unique(owner, return_index=True)
    at = xy[first]
    figures = {
        "size_m": units.size_m,
        "easting_m": at[:, 0],
        "northing_m": at[:, 1],
        "ground_m": sample_heights(terrain, at[:, 0], at[:, 1]) if len(at) else np.empty(0),
        "lowest_m": units.levels_m[:, LOWEST],
        "left_m": units.levels_m[:, LEFT],
        "right_m": units.levels_m[:, RIGHT],
        "slope": units.slope,
        "trees": units.trees,
        "bund_height_m": units.bund_height_m,
        "crest_m": units.levels_m[:, LOWEST] + units.bund_height_m,
        "bund_m3": units.bund_m3,
        "pit_m3": units.pit_m3,
        "unit_m2": units.unit_m2,
        "runoff_m3": found.runoff_m3,
        "held_m3": units.held_m3,
        "spilled_m3": found.spilled_m3,
    }
    listed = {name: values.tolist() for name, values in figures.items()}
    names, blocks = unit_names(units), units.block.tolist()
    return [
        row_of(
            {"unit": name, "block": f"M{block}", "kind": units.kind}
            | {key: values[number] for key, values in listed.items()},
            UNIT_COLUMNS,
        )
        for number, (name, block) in enumerate(zip(names, blocks, strict=True))
    ]


def block_rows(found: Bunding) -> list[Row]:
    """Every block by the names of `BLOCK_COLUMNS`.

    Parameters
    ----------
    found : Bunding
        The microcatchments.

    Returns
    -------
    list of dict
        A row a block, from the highest.

    Examples
    --------
    >>> rows = block_rows(bunding)
    >>> rows[0]["block"], rows[0]["falls_to_deg"], rows[0]["slope"]
    ('M1', 180, 0.1)
    """
    rows = []
    for block in range(1, int(found.units.block.max(initial=0)) + 1):
        own = found.units.block == block
        units = found.units.chosen(own)
        east, north = (units.pegs_m[:, LOWEST] - units.pegs_m[:, HIGHEST]).mean(axis=0).tolist()
        rows.append(
            row_of(
                {
                    "block": f"M{block}",
                    "units": len(units),
                    "trees": int(units.trees.sum()),
                    "size_m": float(units.size_m[0]),
                    "falls_to_deg": float(np.degrees(np.arctan2(east, north)) % 360.0),
                    "slope": float(units.slope.mean()),
                    "bund_height_m": float(units.bund_height_m.max()),
                    "bund_m3": float(units.bund_m3.sum()),
                    "pit_m3": float(units.pit_m3.sum()),
                    "runoff_m3": float(found.runoff_m3[own].sum()),
                    "held_m3": float(units.held_m3.sum()),
                    "spilling": int(np.count_nonzero(found.spilled_m3[own])),
                },
                BLOCK_COLUMNS,
            )
        )
    return rows


def peg_rows(found: Bunding) -> list[Row]:
    """Every peg by the names of `PEG_COLUMNS`: trees, corners or tips, with the level of the ground.

    Parameters
    ----------
    found : Bunding
        The microcatchments.

    Returns
    -------
    list of dict
        A row a peg, unit by unit; a corner that units share stands with the first of them.

    Examples
    --------
    >>> [row["mark"] for row in peg_rows(bunding)[:5]]
    ['tree', 'lowest corner', 'left corner', 'highest corner', 'right corner']
    """
    units, names = found.units, unit_names(found.units)
    trees, owner = tree_places(units)
    marks = _CORNERS if units.kind == "negarim" else _TIPS
    pegs = [(unit, "tree", x, y) for unit, (x, y) in zip(owner.tolist(), trees.tolist(), strict=True)]
    pegs += [
        (unit, mark, *units.pegs_m[unit, place].tolist()) for unit in range(len(units)) for place, mark in marks.items()
    ]
    pegs.sort(key=lambda peg: peg[0])
    kept = _once(pegs) if units.kind == "negarim" else pegs
    xy = np.array([peg[2:] for peg in kept], np.float64).reshape(-1, 2)
    ground = sample_heights(found.ground.terrain, xy[:, 0], xy[:, 1]) if len(xy) else np.empty(0)
    height = units.bund_height_m.tolist()
    return [
        row_of(
            {
                "number": number,
                "unit": names[unit],
                "mark": mark,
                "easting_m": x,
                "northing_m": y,
                "ground_m": level,
                "bund_m": height[unit] if mark in (_CORNERS[LOWEST], _TIPS[LOWEST]) else None,
            },
            PEG_COLUMNS,
        )
        for number, ((unit, mark, x, y), level) in enumerate(zip(kept, ground.tolist(), strict=True), start=1)
    ]


def _once(pegs: list[tuple[int, str, float, float]]) -> list[tuple[int, str, float, float]]:
    """Pegs of which those that stand on one place are one; it is named as the lowest corner where it is one's."""
    places: dict[tuple[int, int], int] = {}
    kept: list[tuple[int, str, float, float]] = []
    for peg in pegs:
        key = round(peg[2] / _SAME_M), round(peg[3] / _SAME_M)
        near = ((key[0] + i, key[1] + j) for i in (0, -1, 1) for j in (0, -1, 1))
        there = next((places[place] for place in near if place in places), None)
        if there is None:
            places[key] = len(kept)
            kept.append(peg)
        elif peg[1] == _CORNERS[LOWEST] and kept[there][1] != "tree":
            kept[there] = peg
    return kept


def ground_rows(found: Bunding) -> list[Row]:
    """What becomes of the ground asked for.

    Parameters
    ----------
    found : Bunding
        The microcatchments.

    Returns
    -------
    list of dict
        A row a reason, what is laid last.

    Examples
    --------
    >>> [row["ground"] for row in ground_rows(bunding)]
    ['kept clear', 'between units and at edges', 'laid']
    """
    return [
        row_of({"ground": reason, "area_m2": area_m2}, GROUND_COLUMNS) for reason, area_m2 in found.ground_m2.items()
    ]


def bund_totals(found: Bunding) -> Row:
    """Totals by the names of `TOTAL_COLUMNS`: sums of the unrounded figures, then rounded.

    Parameters
    ----------
    found : Bunding
        The microcatchments.

    Returns
    -------
    dict of str to Entry
        A figure a column.

    Examples
    --------
    >>> totals = bund_totals(bunding)
    >>> totals["units"] == totals["trees"] > 500, totals["spilling"]
    (True, 0)
    """
    return row_of(found, TOTAL_COLUMNS)
