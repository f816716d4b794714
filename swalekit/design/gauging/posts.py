"""Gauge posts: a staff on each ditch floor with marks at the levels that a reader looks for."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from swalekit._one_line import one_line
from swalekit.design.plan.columns import Column
from swalekit.design.plan.design import Design, Swale
from swalekit.section.stage_storage import stage_storage

MOST_POSTS = 4
"""Posts on one page, and about as many as are read after every rain: our choice."""

_READING_M = 0.01
_UNSURE = ("catchment cut off", "not as sized", "too small")


@one_line("swale", "half_m", "full_m", "runoff_mm_a_cm")
@dataclass(frozen=True)
class GaugePost:
    """The post of one swale; heights are above the ditch floor.

    Parameters
    ----------
    swale : str
        Its number.
    chainage_m : float
        Where it stands along the line: beside the sill's middle [m].
    easting_m, northing_m : float
        The same place [m].
    floor_level_m : float
        Level of its foot [m].
    half_m, full_m, over_m, crest_m : float
        Heights at which half of what the swale stores stands in it, of the sill, of the water over the sill in the
        check storm, and of the berm's crest [m].
    full_m3 : float
        Water below the sill [m³].
    runoff_mm_a_cm : float
        Runoff from its catchment that a centimetre of water is worth at half [mm].
    unsure : str
        Caution for which its readings say little; '' for none.
    """

    swale: str
    chainage_m: float
    easting_m: float
    northing_m: float
    floor_level_m: float
    half_m: float
    full_m: float
    over_m: float
    crest_m: float
    full_m3: float
    runoff_mm_a_cm: float
    unsure: str = ""


POST_COLUMNS = (
    Column("swale", "", "swale that the post stands in"),
    Column("chainage_m", "m", "where along its line: beside the middle of the sill", 1),
    Column("easting_m", "m", "the same place", 2),
    Column("northing_m", "m", "the same place", 2),
    Column("floor_level_m", "m", "level of the post's foot, on the ditch floor", 2),
    Column("half_m", "m", "mark above the floor: half of the storage", 2),
    Column("full_m", "m", "mark above the floor: full, the sill", 2),
    Column("over_m", "m", "mark above the floor: water over the sill in the check storm", 2),
    Column("crest_m", "m", "mark above the floor: crest of the berm", 2),
    Column("full_m3", "m3", "water below the sill", 1),
    Column("runoff_mm_a_cm", "mm", "runoff that a centimetre of water is worth at half", 2),
    Column("unsure", "", "caution for which its readings say little"),
)
"""Columns of ``gauge_posts.csv``."""


def gauge_posts(design: Design) -> tuple[GaugePost, ...]:
    """The post of every swale.

    Parameters
    ----------
    design : Design
        The plan.

    Returns
    -------
    tuple of GaugePost
        In the order of its swales.

    Examples
    --------
    >>> post = gauge_posts(design)[0]
    >>> post.swale, 0.0 < post.half_m < post.full_m < post.over_m < post.crest_m
    ('S1', True)
    """
    return tuple(_post(swale) for swale in design.swales)


def worth_a_post(posts: Sequence[GaugePost], most: int = MOST_POSTS) -> tuple[GaugePost, ...]:
    """The posts that say most: those whose water is sure first, then those where a centimetre is least runoff.

    Parameters
    ----------
    posts : sequence of GaugePost
        All posts.
    most : int
        How many at most.

    Returns
    -------
    tuple of GaugePost
        In the order of the swales.

    Examples
    --------
    >>> [post.swale for post in worth_a_post(gauge_posts(design), most=1)]
    ['S2']
    """
    best = sorted(posts, key=lambda post: (post.unsure != "", post.runoff_mm_a_cm))[:most]
    return tuple(post for post in posts if post in best)


def _post(swale: Swale) -> GaugePost:
    shape, line, sill = swale.sized.shape, swale.line, swale.sill
    floor_m, stage = shape.floor_level_m, stage_storage(shape)
    half_m = float(stage.level_m_at(shape.storage_m3 / 2.0)) - floor_m
    a_cm_m3 = float(np.diff(stage.volume_m3_at([floor_m + half_m, floor_m + half_m + _READING_M]))[0])
    x, y = line.at(line.xy.T, np.array([sill.chainage_m]))[:, 0]
    names = [caution.name for caution in swale.cautions]
    return GaugePost(
        swale=swale.id,
        chainage_m=sill.chainage_m,
        easting_m=float(x),
        northing_m=float(y),
        floor_level_m=floor_m,
        half_m=half_m,
        full_m=shape.sill_level_m - floor_m,
        over_m=shape.sill_level_m + sill.head_m - floor_m,
        crest_m=shape.crest_level_m - floor_m,
        full_m3=shape.storage_m3,
        runoff_mm_a_cm=1000.0 * a_cm_m3 / max(swale.catchment_m2, 1.0),
        unsure=next((name for name in names if name.startswith(_UNSURE)), ""),
    )
