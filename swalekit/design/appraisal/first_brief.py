"""A brief to begin with, made of a few answers and of what the tile says; every guess is marked."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

from swalekit._checks import check_positive
from swalekit._one_line import one_line
from swalekit.contours.spacing_rules import horizontal_interval_m, slope_note, vertical_interval_m
from swalekit.design.appraisal.answers import USUAL, Answers
from swalekit.tables.spacing_rules import SpacingRule, spacing_rule
from swalekit.tables.values import site_limit, soil_group
from swalekit.terrain.fitness import Fitness

LEAST_SLOPE = 0.01
GREATEST_DEPTH_M = 1.0
"""Common practice for a small excavator."""
_RULES = ("ramser", "fao hillside ditch", "kenya")
"""Rules that spacing begins with, the first that is meant for the slope: verified before others, the last for any."""
_CELLS_BETWEEN = 3.0
_WIDEST_M = 300.0
"""Lines are not spread wider for the sake of a tile: our choice."""
_SECTION = {"trees": 2.0, "grazing": 3.0, "erosion": 2.0}
"""Side slopes of the berm by purpose: 3 : 1 and flatter is driven over and mown, common practice."""
_CHECK_OVER_DESIGN = 2.0
_COVER = ("desert shrub", "poor")


@one_line("part", "key", "value", "guess")
@dataclass(frozen=True)
class Setting:
    """One key of a brief to begin with.

    Parameters
    ----------
    part, key : str
        Where it stands.
    value : object
        What it says.
    note : str
        What it is, and of a guess how the true value is found.
    guess : bool
        Whether it was neither told nor measured.
    offered : bool
        Whether it is only shown, behind a mark that takes it out, for the reader to turn on.
    """

    part: str
    key: str
    value: Any
    note: str = ""
    guess: bool = False
    offered: bool = False


class FirstSpacing(NamedTuple):
    """Spacing of lines to begin with.

    Parameters
    ----------
    rule : SpacingRule
        The published rule that it follows.
    spacing_m : float
        Horizontal distance, to half a metre [m].
    words : str
        How it came about.
    """

    rule: SpacingRule
    spacing_m: float
    words: str


def first_spacing(found: Fitness) -> FirstSpacing:
    """Spacing of lines to begin with: a published rule that is meant for the slope, as far as the tile carries it.

    Parameters
    ----------
    found : Fitness
        What the tile can carry, with the median slope of the ground that lines may lie on.

    Returns
    -------
    FirstSpacing
        The rule, and the distance that it gives on the median slope; wider where the cells, or the error of a line's
        place, ask for that.

    Examples
    --------
    >>> first = first_spacing(Fitness(1.0, 0.0, 0.045, 0.05))
    >>> first.rule.name, first.spacing_m
    ('ramser', 23.5)
    >>> first_spacing(Fitness(1.0, 0.0, 0.08, 0.05)).rule.name, first_spacing(Fitness(1.0, 0.0, 0.15, 0.05)).rule.name
    ('kenya', 'fao hillside ditch')
    """
    slope = max(found.median_slope, LEAST_SLOPE)
    rule = next(rule for rule in map(spacing_rule, _RULES) if not slope_note(rule, slope))
    by_rule_m = float(horizontal_interval_m(rule, slope))
    carried_m = found.place_error_m if found.place_error_m < _WIDEST_M else 0.0
    least_m = max(_CELLS_BETWEEN * found.cell_m, carried_m)
    spacing_m = _half_metre_up(max(by_rule_m, least_m))
    words = (
        f"rule {rule}: lines {float(vertical_interval_m(rule, slope)):.2f} m apart in height, {by_rule_m:.1f} m across "
        f"the median slope of {100.0 * slope:.2g} %"
    )
    if least_m > by_rule_m:
        words += f"; widened to {spacing_m:g} m, the least that cells and height error of this tile carry"
    return FirstSpacing(rule, spacing_m, words)


def first_brief(
    answers: Answers, found: Fitness, *, files: Mapping[str, str], radius_m: float = 0.0, site: Mapping[str, str]
) -> tuple[Setting, ...]:
    """Settings of a brief to begin with.

    Parameters
    ----------
    answers : Answers
        What is known.
    found : Fitness
        What the tile can carry, with the median slope of the ground that lines may lie on.
    files : mapping
        Paths, and what the tile leaves open, by ``part.key``: ``terrain.file`` always.
    radius_m : float
        Half the width of what stands on the surface, 0 where nothing does [m].
    site : mapping
        Keys of the title block.

    Returns
    -------
    tuple of Setting
        In the order of the brief.

    Examples
    --------
    >>> found, files = Fitness(1.0, 0.0, 0.1, 0.05), {"terrain.file": "t.tif"}
    >>> settings = first_brief(Answers(storm_mm=40.0), found, files=files, site={"name": "North"})
    >>> [setting.key for setting in settings if setting.guess and not setting.offered]
    ['vertical_sigma_m', 'texture', 'cover', 'condition', 'group', 'spacing_m', 'bottom_width_m']
    """
    purpose = answers.purpose or str(USUAL.purpose)
    return (
        *(Setting("site", key, value) for key, value in site.items()),
        *_terrain(files, found, radius_m),
        *_area(answers, files),
        *_storm(answers, purpose),
        *_soil(answers),
        *_layout(answers, found, purpose),
    )


def values_of(settings: Sequence[Setting]) -> dict[str, Any]:
    """Settings by ``part.key``, as `check_brief` takes them.

    Parameters
    ----------
    settings : sequence of Setting
        From `first_brief`.

    Returns
    -------
    dict of str to object
        Without those that are only offered.

    Examples
    --------
    >>> values_of([Setting("storm", "depth_mm", 50.0), Setting("storm", "course", "II", offered=True)])
    {'storm.depth_mm': 50.0}
    """
    return {f"{setting.part}.{setting.key}": setting.value for setting in settings if not setting.offered}


def _terrain(files: Mapping[str, str], found: Fitness, radius_m: float) -> list[Setting]:
    given = [Setting("terrain", key.partition(".")[2], value) for key, value in files.items() if key[:8] == "terrain."]
    sigma = (
        "error of a height, as is usual for such cells. Level 30 points on bare ground and name them, points = "
        '"points.csv": they tell the true one'
    )
    given.append(Setting("terrain", "vertical_sigma_m", round(found.vertical_sigma_m, 4), sigma, guess=True))
    if radius_m:
        stands = (
            "half the width of what stands on this surface. Look at bare_ground.png of the plan, and measure "
            "the widest canopy; 0 where all is ground"
        )
        given.append(Setting("terrain", "denoise_radius_m", radius_m, stands, guess=True))
    return given


def _area(answers: Answers, files: Mapping[str, str]) -> list[Setting]:
    named = [Setting("area", key.partition(".")[2], value) for key, value in files.items() if key[:5] == "area."]
    keys = {setting.key for setting in named}
    if "boundary" not in keys:
        whole = "the whole tile is taken for the land. Walk the boundary with a phone, or ask the land registry"
        named.append(Setting("area", "boundary", "boundary.kml", whole, guess=True, offered=True))
    if "keep_outs" not in keys:
        houses = answers.house is None
        none = "nothing is kept clear. Pin houses, wells, septic fields, roads, pipes and trees on a phone, by name"
        named.append(Setting("area", "keep_outs", "keep_outs.kml", none, guess=houses, offered=True))
    return named


def _storm(answers: Answers, purpose: str) -> list[Setting]:
    depth_mm = answers.storm_mm or float(USUAL.storm_mm or 0.0)
    note = (
        "the rain to hold. Ask the weather service, or the rain atlas, for a day's rain that comes back every 10 "
        'years; or name a daily record: record = "rain.csv" with return_period_y = 10'
    )
    settings = [Setting("storm", "depth_mm", depth_mm, note, guess=answers.storm_mm is None)]
    if purpose == "erosion":
        larger = "sills pass twice the storm, so that soil stays where a greater one comes: our choice for this purpose"
        settings.append(Setting("storm", "check_depth_mm", _CHECK_OVER_DESIGN * depth_mm, larger))
    return settings


def _soil(answers: Answers) -> list[Setting]:
    texture = answers.texture or str(USUAL.texture)
    pit = (
        "how a full ditch soaks away. Dig a pit of a metre and feel the soil, then fill a ring in three places and "
        'note the fall of the water: infiltration_test = "ring.csv"'
    )
    grown = "what grows there, and how thinly. Walk the land after rain: where does it run? NEH 630 ch. 9 lists covers"
    cover, condition = _COVER
    guessed = answers.texture is None
    group = (
        f"hydrologic soil group of {texture} (TR-55, Appendix A). A sealed or shallow soil lies a group or two lower"
    )
    return [
        Setting("soil", "texture", texture, pit, guess=guessed),
        Setting("soil", "cover", cover, grown, guess=True),
        Setting("soil", "condition", condition, guess=True),
        Setting("soil", "group", soil_group(texture), group, guess=guessed),
    ]


def _layout(answers: Answers, found: Fitness, purpose: str) -> list[Setting]:
    spacing, bucket_m = first_spacing(found), answers.bucket_m or float(USUAL.bucket_m or 0.0)
    check_positive(bucket_m=bucket_m)
    limit = site_limit("swale greatest slope")
    compare = f"{spacing.words}. What holds the storm for its price: swalekit compare site.toml --spacing"
    side = _SECTION[purpose]
    berm = f"berms for {purpose}: {side:g} : 1" + (" is driven over and mown" if purpose == "grazing" else "")
    return [
        Setting("levels", "spacing_m", spacing.spacing_m, compare, guess=True),
        Setting("lines", "least_slope", LEAST_SLOPE, "flatter ground is left to microcatchments"),
        Setting("lines", "greatest_slope", limit.value / 100.0, limit.source),
        Setting("section", "bottom_width_m", bucket_m, "the bucket. Ask who digs", guess=answers.bucket_m is None),
        Setting(
            "section", "greatest_depth_m", GREATEST_DEPTH_M, "common practice for a small excavator; mind the rock"
        ),
        Setting("section", "berm_uphill_side_slope", side, berm),
        Setting("section", "berm_downhill_side_slope", side),
        Setting("rates", "machine_per_h", 60.0, "an hour of digger with driver: ask for a price", offered=True),
    ]


def _half_metre_up(length_m: float) -> float:
    return float(-(-length_m * 2.0 // 1) / 2.0)
