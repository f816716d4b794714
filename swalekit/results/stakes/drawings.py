"""One swale of a design in a notebook's cell: its section, its long profile, its stakes in plan."""

from math import ceil, inf
from operator import attrgetter

from matplotlib.axes import Axes

from swalekit.design.plan.design import Design, Swale
from swalekit.design.survey.stakeout import stake_design
from swalekit.errors import InputError
from swalekit.reporting.map.plan_map import plan_content
from swalekit.reporting.paper.axes import WIDTH_MM, axes_in_cell, size_mm, title
from swalekit.reporting.paper.paper import Panel
from swalekit.reporting.paper.typical_section import draw_typical_section, section_height_mm
from swalekit.reporting.stakes.pieces import SCALES, Piece, cut_to_pieces
from swalekit.reporting.stakes.plan import draw_plan
from swalekit.reporting.stakes.profile import AXIS_MM, NAMES_MM, draw_profile, exaggeration
from swalekit.reporting.words.shown import shown
from swalekit.results.plan.record import plan_record, section_of
from swalekit.section.laid_swale import LaidSwale
from swalekit.staking.stake import Stake, Stakeout

_SECTION_MM, _BELOW_MM = 60.0, 4.0  # greatest height of a section, and room below its dimensions
_PROFILE_MM, _PLAN_MM = 44.0, 84.0
_AROUND_MM = (12.0, 10.0)  # of the works within a plan, for numbers and words
_SIZE_PT = 8.0


def draw_section(design: Design, swale: str | None = None, ax: Axes | None = None) -> Axes:
    """Draw the cross-section of a swale to scale, with its dimensions and the water at the sill's level.

    Parameters
    ----------
    design : Design
        The design.
    swale : str, optional
        Its number, as ``S3``; the swale that stores most unless given.
    ax : Axes, optional
        Where to draw; they will count in millimetres of paper. New axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If there is no such swale.

    Examples
    --------
    >>> draw_section(design, "S1").get_title(loc="left")
    'S1: section, dug 0.35 m where the ground falls 10 %'
    """
    units, found = design.site.brief.site.units, _swale_of(design, swale)
    section = section_of(found)
    needed_mm = section_height_mm(section, WIDTH_MM, highest_mm=_SECTION_MM) + _BELOW_MM
    axes = axes_in_cell(ax, needed_mm, margins_mm=(4.0, 3.0, 4.0, 9.0))
    width_mm, height_mm = size_mm(axes)
    style = {"highest_mm": max(height_mm - _BELOW_MM, 5.0), "size_pt": _SIZE_PT}
    draw_typical_section(section, Panel(axes, width_mm, height_mm), top_mm=0.0, units=units, **style)
    depth = shown(found.sized.shape.depth_m, "m", units=units, decimals=2)
    return title(axes, f"{found.id}: section, dug {depth} where the ground falls {100 * section.slope:.0f} %")


def draw_long_profile(design: Design, swale: str | None = None, ax: Axes | None = None) -> Axes:
    """Draw ground, ditch floor, sill and berm crest along a whole swale.

    Parameters
    ----------
    design : Design
        The design.
    swale : str, optional
        Its number, as ``S3``; the swale that stores most unless given.
    ax : Axes, optional
        Where to draw; they will count in millimetres of paper. New axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If there is no such swale.

    Examples
    --------
    >>> draw_long_profile(design, "S1").get_title(loc="left")
    'S1: long profile, heights drawn 20 times larger than lengths'
    """
    units, found = design.site.brief.site.units, _swale_of(design, swale)
    staked, stakes = _staked(stake_design(design), found.id)
    axes = axes_in_cell(ax, _PROFILE_MM, margins_mm=(4.0, 3.0, 4.0, 9.0))
    width_mm, height_mm = size_mm(axes)
    long_mm = width_mm - AXIS_MM - NAMES_MM
    piece = _whole(staked, stakes, long_mm)
    draw_profile(piece, Panel(axes, width_mm, height_mm), top_mm=0.0, height_mm=height_mm, units=units)
    times = exaggeration(piece, height_mm)
    return title(axes, f"{found.id}: long profile, heights drawn {times} times larger than lengths")


def draw_stakes(design: Design, swale: str | None = None, ax: Axes | None = None, *, part: int = 1) -> Axes:
    """Draw ditch, berm and sill of a swale in plan with its stakes, turned so that downhill is down the page.

    Parameters
    ----------
    design : Design
        The design.
    swale : str, optional
        Its number, as ``S3``; the swale that stores most unless given.
    ax : Axes, optional
        Where to draw; new axes unless given.
    part : int
        Which stretch of a line too long for one drawing, from 1.

    Returns
    -------
    Axes
        The same axes, in metres right of and above the middle of the plan.

    Raises
    ------
    InputError
        If there is no such swale or stretch.

    Examples
    --------
    >>> draw_stakes(design, "S2").get_title(loc="left")
    'S2: stakes'
    """
    content, found = plan_content(plan_record(design)), _swale_of(design, swale)
    staked, stakes = _staked(stake_design(design), found.id)
    axes = axes_in_cell(ax, _PLAN_MM, width_mm=WIDTH_MM + 20.0, margins_mm=(8.0, 8.0, 4.0, 9.0))
    width_mm, height_mm = size_mm(axes)
    room_mm = (width_mm - 2 * _AROUND_MM[0], height_mm - 2 * _AROUND_MM[1])
    pieces = cut_to_pieces(staked, stakes, room=lambda _: room_mm, scales=SCALES[content.units])
    if not 1 <= part <= len(pieces):
        message = f"part of {found.id} is {part}, but it is drawn in {len(pieces)}; give 1 to {len(pieces)}"
        raise InputError(message)
    before, after = (1 + (part - 1 + step) % len(pieces) for step in (-1, 1))
    beside = (f"goes on in part {before}", f"goes on in part {after}")
    draw_plan(pieces[part - 1], content, stakes, axes, beside=beside)
    of = f", part {part} of {len(pieces)}" if len(pieces) > 1 else ""
    return title(axes, f"{found.id}: stakes{of}")


def _swale_of(design: Design, swale: str | None) -> Swale:
    """A swale by its number, or the one that stores most."""
    if not design.swales:
        message = f"the design of '{design.site.brief.site.name}' has no swale; its warnings say why"
        raise InputError(message)
    found = {known.id: known for known in design.swales}
    if swale is None:
        return max(design.swales, key=attrgetter("storage_m3"))
    if swale not in found:
        message = f"there is no swale '{swale}'; give {design.swales[0].id} to {design.swales[-1].id}"
        raise InputError(message)
    return found[swale]


def _staked(stakeout: Stakeout, name: str) -> tuple[LaidSwale, list[Stake]]:
    """A swale as it is staked, and its stakes."""
    staked = next(laid for laid in stakeout.swales if laid.id == name)
    return staked, [stake for stake in stakeout.stakes if stake.swale == name]


def _whole(swale: LaidSwale, stakes: list[Stake], long_mm: float) -> Piece:
    """A swale in one piece, as long on paper as may be [mm]."""
    scale = max(ceil(1000.0 * swale.line.length_m / long_mm), 1)
    (piece,) = cut_to_pieces(swale, stakes, room=lambda _: (inf, inf), scales=(scale,))
    return piece
