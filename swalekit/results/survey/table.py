"""A survey check as rows of figures: the columns, declared once for every writer and the documentation."""

from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.verification.as_built import AsBuilt
from swalekit.verification.built_profile import BuiltProfile
from swalekit.verification.spots import Spot
from swalekit.verification.survey_check import HeldStorms, SurveyCheck

_PART_COLUMNS = tuple(
    column
    for part in ("floor", "crest", "sill")
    for column in (
        Column(f"{part}_points", "", f"surveyed points of the {part}", 0),
        Column(f"{part}_mean_m", "m", f"mean of the {part}'s points above its design level, negative below", 3),
        Column(f"{part}_least_m", "m", f"lowest departure of the {part} from its design level", 3),
        Column(f"{part}_greatest_m", "m", f"highest departure of the {part} from its design level", 3),
        Column(f"{part}_from_mean_m", "m", f"greatest departure of the {part} from its own mean, up or down", 3),
    )
)

SURVEY_COLUMNS: tuple[Column, ...] = (
    Column("swale", "", "lasting name of the swale"),
    Column("verdict", "", "within or outside tolerance, incomplete where points are lacking, or not surveyed"),
    *_PART_COLUMNS,
    Column("lowest_crest_m", "m", "level of the lowest point of the crest", 3),
    Column("lowest_crest_at_m", "m", "its chainage", 2),
    Column("design_sill_m", "m", "level of the sill as designed", 3),
    Column("spill_m", "m", "true spill level, the lowest of crest and sill", 3),
    Column("spill_at_m", "m", "its chainage", 2),
    Column("spills_over", "", "sill or crest"),
    Column("freeboard_m", "m", "lowest crest above the lowest sill, negative where water leaves over the berm", 3),
    Column("design_storage_m3", "m3", "water held as designed"),
    Column("storage_m3", "m3", "water held below the true spill level"),
    Column("design_dug_m3", "m3", "bank volume cut as designed"),
    Column("dug_m3", "m3", "bank volume cut as built"),
    Column("design_held_storm_mm", "mm", "deepest storm that leaves the swale without spilling, as designed"),
    Column("held_storm_mm", "mm", "the same as built"),
    Column(
        "held_storm_assumes", "", "yes where that rests on the design of this swale or one above, for want of points"
    ),
    Column("raise_m", "m", "length of berm that must be raised"),
    Column("fill_m3", "m3", "compacted soil that it takes", 2),
    Column("faults", "", "stretches beyond the tolerance, by chainage"),
    Column("unchecked", "", "stretches too long without a point, by chainage"),
    Column("not_judged", "", "what can't be said for want of points"),
)

SPOT_COLUMNS: tuple[Column, ...] = (
    Column("swale", "", "lasting name of the swale"),
    Column("part", "", "floor, crest or sill"),
    Column("kind", "", "low or high"),
    Column("from_m", "m", "chainage at which it begins", 2, "start_m"),
    Column("to_m", "m", "chainage at which it ends, the lesser one round a ring's first station", 2, "stop_m"),
    Column("length_m", "m", "length along the line", 2),
    Column("greatest_m", "m", "greatest departure from the design level, up or down", 3),
    Column("greatest_at_m", "m", "its chainage", 2, "at_m"),
    Column("fill_m3", "m3", "compacted soil that raises a low crest to its design level; empty for anything else", 2),
)

UNMATCHED_COLUMNS: tuple[Column, ...] = (
    Column("number", "", "point number", 0),
    Column("easting_m", "m", "easting in the CRS of the project", 3),
    Column("northing_m", "m", "northing in the CRS of the project", 3),
    Column("height_m", "m", "height; empty where there is none", 3),
    Column("code", "", "what the crew called it"),
    Column("reason", "", "why it was not used"),
)


def survey_rows(check: SurveyCheck, held: HeldStorms | None = None) -> list[dict[str, Entry]]:
    """Figures of every swale by the names of `SURVEY_COLUMNS`.

    Parameters
    ----------
    check : SurveyCheck
        The check.
    held : HeldStorms, optional
        Of stores that begin with the swales in their order; without it the columns of held storms stay empty.

    Returns
    -------
    list of dict
        A row a swale.

    Examples
    --------
    >>> [(row["swale"], row["verdict"], row["floor_points"]) for row in survey_rows(survey.check)]
    [('S1', 'incomplete', 45), ('S2', 'not surveyed', 0)]
    """
    rows = []
    for place, built in enumerate(check.swales):
        row = _swale_figures(built)
        for part, profile in built.parts.items():
            row |= _part_figures(part, profile)
        if held is not None:
            row["design_held_storm_mm"] = float(held.designed_mm[place])
            row["held_storm_mm"] = float(held.built_mm[place])
            row["held_storm_assumes"] = "yes" if held.assumed[place] else "no"
        rows.append(row_of(row, SURVEY_COLUMNS))
    return rows


def spot_rows(check: SurveyCheck) -> list[dict[str, Entry]]:
    """Figures of every spot by the names of `SPOT_COLUMNS`.

    Parameters
    ----------
    check : SurveyCheck
        The check.

    Returns
    -------
    list of dict
        A row a spot.

    Examples
    --------
    Points of a floor that lies 20 cm too high all along:
    >>> from dataclasses import replace
    >>> from swalekit.verification import check_survey
    >>> points = replace(survey.points, height_m=survey.points.height_m + 0.2)
    >>> (row,) = spot_rows(check_survey(points, [built.design for built in survey.check.swales]))
    >>> row["swale"], row["part"], row["kind"], row["greatest_m"], row["length_m"]
    ('S1', 'floor', 'high', 0.2, 88.0)
    """
    return [row_of(spot, SPOT_COLUMNS, swale=built.design.id) for built in check.swales for spot in built.spots]


def unmatched_rows(check: SurveyCheck) -> list[dict[str, Entry]]:
    """Points that were not used by the names of `UNMATCHED_COLUMNS`.

    Parameters
    ----------
    check : SurveyCheck
        The check.

    Returns
    -------
    list of dict
        A row a point.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from swalekit.verification import check_survey
    >>> points = replace(survey.points, description=("well", *survey.points.description[1:]))
    >>> (row,) = unmatched_rows(check_survey(points, [built.design for built in survey.check.swales]))
    >>> row["number"], row["code"], row["reason"]
    (1, 'well', 'its code names none of floor, crest, sill')
    """
    return [row_of(point, UNMATCHED_COLUMNS) for point in check.unmatched]


def _swale_figures(built: AsBuilt) -> dict[str, Entry]:
    """Figures of a swale less those of its parts."""
    shape, spill, crest = built.design.shape, built.spill, built.crest
    return {
        "swale": built.design.id,
        "verdict": built.verdict,
        "lowest_crest_m": float(crest.height_m[crest.lowest]) if crest.count else None,
        "lowest_crest_at_m": float(crest.chainage_m[crest.lowest]) if crest.count else None,
        "design_sill_m": shape.sill_level_m,
        "spill_m": None if spill is None else spill.level_m,
        "spill_at_m": None if spill is None else spill.chainage_m,
        "spills_over": None if spill is None else spill.over,
        "freeboard_m": built.freeboard_m,
        "design_storage_m3": shape.storage_m3,
        "storage_m3": built.storage_m3,
        "design_dug_m3": shape.cut_m3,
        "dug_m3": built.dug_m3,
        "raise_m": built.raised_m,
        "fill_m3": built.fill_m3,
        "faults": "; ".join(map(_spot_words, built.spots)),
        "unchecked": "; ".join(f"{gap.part} {gap.start_m:.1f} to {gap.stop_m:.1f} m" for gap in built.unchecked),
        "not_judged": "; ".join(built.not_judged),
    }


def _part_figures(part: str, profile: BuiltProfile) -> dict[str, Entry]:
    """Figures of a part; its count alone where it has no point."""
    if not profile.count:
        return {f"{part}_points": 0}
    return {
        f"{part}_points": profile.count,
        f"{part}_mean_m": profile.mean_departure_m,
        f"{part}_least_m": float(profile.departure_m.min()),
        f"{part}_greatest_m": float(profile.departure_m.max()),
        f"{part}_from_mean_m": profile.greatest_from_mean_m,
    }


def _spot_words(spot: Spot) -> str:
    return f"{spot.part} {spot.greatest_m:.2f} m {spot.kind}, {spot.start_m:.1f} to {spot.stop_m:.1f} m"
