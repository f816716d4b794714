"""The tables of swales and totals."""

from collections.abc import Callable
from operator import attrgetter

from swalekit.design.brief.settings import soil_of
from swalekit.design.layout.sized_layout import SizedLayout
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.design.plan.design import Swale
from swalekit.earthwork.cost import Rates
from swalekit.section.apron import laid_below


def _summed(figure: str) -> Callable[[SizedLayout], float]:
    """Sum of a figure over the swales of a layout."""
    taken = attrgetter(figure)
    return lambda layout: sum(taken(swale) for swale in layout.swales)


def _storage_after(years: int) -> Callable[[Swale], float | None]:
    """Storage of a swale after so many years without cleaning."""
    return lambda swale: None if swale.service is None else swale.service.storage_after_m3(years)


def _silt_m3_y(layout: SizedLayout) -> float | None:
    """Silt of a year; None of a layout for which it wasn't reckoned."""
    lives = [swale.service for swale in layout.swales if isinstance(swale, Swale)]
    if len(lives) < len(layout.swales) or None in lives:
        return None
    return sum(life.silt_m3_y for life in lives if life is not None)


def _laid(what: str) -> Callable[[SizedLayout], float | None]:
    """Stone or sod below the sills; None of a layout that no storm has been passed through."""

    def total(layout: SizedLayout) -> float | None:
        swales = [swale for swale in layout.swales if isinstance(swale, Swale)]
        if len(swales) < len(layout.swales):
            return None
        return sum(laid_below(swale.sill.apron).get(what, 0.0) for swale in swales)

    return total


def stage_of(swale: Swale) -> int | None:
    """Season in which a swale is built: as it was ordered, else as the designer gave it.

    Parameters
    ----------
    swale : Swale
        The swale.

    Returns
    -------
    int or None
        Number of the season, from 1; None where all is built at once.

    Examples
    --------
    >>> print(stage_of(design.swales[0]))
    None
    """
    return swale.own.stage if swale.stage is None else swale.stage


SWALE_COLUMNS: tuple[Column, ...] = (
    Column("swale", "", "lasting name of the swale and its line", of="id"),
    Column("state", "", "whether its line is proposed by the brief, or held or drawn by the designer"),
    Column("stage", "", "season of building, as the brief's [stages] or its line ask for", 0, stage_of),
    Column("note", "", "what the designer noted", of="own.note"),
    Column("level_m", "m", "level of the ground along the line", 2, "line.level_m"),
    Column("length_m", "m", "length along the line", of="line.length_m"),
    Column("catchment_m2", "m2", "ground whose water meets this swale before any other, its own works included", 0),
    Column("kept_uphill_m2", "m2", "ground uphill whose water stays in hollows, not in the catchment", 0),
    Column(
        "strip_rain_m3", "m3", "rain of the design storm on its own works and pond beyond the runoff of that ground"
    ),
    Column("runoff_m3", "m3", "water that the design storm brings: catchment times runoff depth, and the strip's rain"),
    Column("spill_in_m3", "m3", "water that the design storm spills into it from swales above"),
    Column("bottom_width_m", "m", "width of the ditch floor", 2, "sized.shape.section.bottom_width_m"),
    Column(
        "uphill_side_slope",
        "",
        "uphill side of the ditch, horizontal : vertical",
        2,
        "sized.shape.section.uphill_side_slope",
    ),
    Column(
        "downhill_side_slope",
        "",
        "downhill side of the ditch, horizontal : vertical",
        2,
        "sized.shape.section.downhill_side_slope",
    ),
    Column("depth_m", "m", "dig depth at the stake, ground to ditch floor", 2, "sized.shape.depth_m"),
    Column("crest_m", "m", "level of the berm crest", 2, "sized.shape.crest_level_m"),
    Column("crest_width_m", "m", "width of the berm crest", 2, "sized.shape.section.crest_width_m"),
    Column("settles_m", "m", "how much higher the crest is built where the berm is highest, since it settles", 2),
    Column("sill_m", "m", "level of the overflow sill", 2, "sized.shape.sill_level_m"),
    Column("water_depth_m", "m", "depth of the water in a full ditch, floor to sill", 2),
    Column("storage_m3", "m3", "water held below the sill"),
    Column("held_storm_mm", "mm", "deepest storm that leaves the swale without spilling"),
    Column("spill_m3", "m3", "water that the design storm sends over the sill"),
    Column("sill_length_m", "m", "length of the level sill for the check storm", of="sill.length_m"),
    Column(
        "sill_at_m", "m", "chainage of the sill's middle, from the end with downhill on the right hand looking along"
    ),
    Column("check_flow_m3s", "m3/s", "peak over the sill in the check storm", 3, "sill.flow_m3s"),
    Column("freeboard_m", "m", "crest above sill", 2, "sized.shape.section.freeboard_m"),
    Column("peak_level_m", "m", "highest water of the design storm", 2, "routed.peak_level_m"),
    Column("freeboard_left_m", "m", "crest above the highest water of the check storm, negative where it goes over", 2),
    Column("outlet", "", "what bears the check storm's flow at the sill: its soil, or an apron; else what is lacking"),
    Column("apron", "", "what is laid at the sill: stone or grass; empty where soil and ground bear the flow"),
    Column("apron_length_m", "m", "length of the apron, from the sill down to its end", of="sill.apron.length_m"),
    Column("apron_width_m", "m", "width of the apron, along the sill", of="sill.apron.width_m"),
    Column("stone_d50_mm", "mm", "median size of its stone, 1.2 times what just withstands the flow", 0),
    Column("stone_thickness_m", "m", "thickness of its stone, two stones", 2, "sill.apron.thickness_m"),
    Column("stone_m3", "m3", "its stone, in place", of="sill.apron.volume_m3"),
    Column("grass_m2", "m2", "its sod"),
    Column("soaked_m3", "m3", "water of the design storm that soaks away in the ditch", of="routed.soaked_m3"),
    Column(
        "empty_h",
        "h",
        "hours from the end of the rain until dry; empty without an intake rate or where it takes over 200",
        0,
        "routed.empty_after_h",
    ),
    Column("spills_to", "", "where its overflow goes: a swale, a hollow, or off the tile", of="sill.spills_to"),
    Column(
        "failure_overtops",
        "",
        "swales that would fail after it, overtopped, if it failed when fullest in the design storm",
    ),
    Column("failure_left_m3", "m3", "more water that would leave the site then", of="failure.extra_left_m3"),
    Column(
        "failure_flow_m3s", "m3/s", "peak through its breach, published relations extrapolated", 3, "failure.flow_m3s"
    ),
    Column("failure_m3", "m3", "water that it would let go", of="failure.volume_m3"),
    Column("failure_reaches", "", "what that water would reach: buildings, roads, neighbours and the like"),
    Column("check_failure_overtops", "", "swales that would fail after it in the check storm"),
    Column(
        "check_failure_left_m3", "m3", "more water that would leave the site then", of="check_failure.extra_left_m3"
    ),
    Column(
        "silt_m3_y",
        "m3/y",
        "silt that settles in a mean year, by the brief's [silt] or assumed",
        2,
        "service.silt_m3_y",
    ),
    Column(
        "clean_after_y",
        "y",
        "years until silt has taken the share of the storage that it may",
        of="service.clean_after_y",
    ),
    Column("design_held_y", "y", "years until the design storm no longer finds its room", of="service.design_held_y"),
    *(
        Column(
            f"storage_{years}y_m3", "m3", f"water held after {years} years without cleaning", of=_storage_after(years)
        )
        for years in (5, 10, 20)
    ),
    Column("dug_m3", "m3", "bank volume cut", of="quantities.dug_m3"),
    Column("berm_m3", "m3", "compacted volume of the berm, its returns at the ends included", of="quantities.berm_m3"),
    Column("loose_m3", "m3", "volume of the dug soil before it is compacted", of="quantities.loose_m3"),
    Column("strip_m2", "m2", "ground disturbed, ditch lip to berm toe", 0, "quantities.strip_m2"),
    Column("topsoil_m3", "m3", "topsoil to set aside from the strip and spread on berm and ditch sides again"),
    Column("machine_h", "h", "machine hours; those of topsoil and sills where the brief names their rates"),
    Column("cost", "", "cost at the brief's rates, empty where it names no price", 0),
    Column("mean_slope", "m/m", "mean slope of the ground across the line", 3, "line.mean_slope"),
    Column("greatest_slope", "m/m", "steepest ground across the line", 3),
    Column("berm_height_m", "m", "greatest height of the crest above the ground beneath it", 2),
    Column("position_sigma_m", "m", "standard error of the line's place, height error over slope", 2),
    Column("unseen_m", "m", "length on unseen ground, less sure than the terrain's own height error", 0),
    Column("cautions", "", "cautions that this swale's figures raise"),
)

TOTAL_COLUMNS: tuple[Column, ...] = (
    Column("swales", "", "number of swales", 0, lambda layout: len(layout.swales)),
    Column("length_m", "m", "length of all swales", of=_summed("line.length_m")),
    Column("catchment_m2", "m2", "ground that drains to a swale", 0, _summed("catchment_m2")),
    Column("runoff_m3", "m3", "water that the design storm brings to the swales from catchments and on the ditches"),
    Column("storage_m3", "m3", "water held below the sills", of=_summed("storage_m3")),
    Column("held_m3", "m3", "water of the design storm that the swales hold", of=_summed("held_m3")),
    Column("held_storm_mm", "mm", "deepest storm that leaves every swale without spilling"),
    Column("held_dry_mm", "mm", "the same on ground dry before (antecedent condition I); none without curve numbers"),
    Column("held_wet_mm", "mm", "the same on ground wet before (antecedent condition III); none without curve numbers"),
    Column("spill_m3", "m3", "water of the design storm that leaves the last swales over their sills"),
    Column("site_runoff_m3", "m3", "water that the design storm brings to the site, from uphill and on it"),
    Column("kept_share", "", "share of that water which stays in swales and hollows of the site", 3),
    Column("dug_m3", "m3", "bank volume cut", of=_summed("quantities.dug_m3")),
    Column("berm_m3", "m3", "compacted volume of the berms", of=_summed("quantities.berm_m3")),
    Column("loose_m3", "m3", "volume of the dug soil before it is compacted", of=_summed("quantities.loose_m3")),
    Column("strip_m2", "m2", "ground disturbed", 0, _summed("quantities.strip_m2")),
    Column("topsoil_m3", "m3", "topsoil to set aside", of=_summed("quantities.topsoil_m3")),
    Column("silt_m3_y", "m3/y", "silt that settles in the swales in a mean year", of=_silt_m3_y),
    Column("stone_m3", "m3", "stone of the aprons at sills, in place", of=_laid("stone_m3")),
    Column("grass_m2", "m2", "sod of the aprons at sills", of=_laid("grass_m2")),
    Column("machine_h", "h", "machine hours; those of topsoil and sills where the brief names their rates"),
    Column("cost", "", "cost at the brief's rates with mobilisation, empty where it names no price", 0),
)


def swale_row(swale: Swale, rates: Rates | None = None) -> dict[str, Entry]:
    """Figures of one swale by the names of `SWALE_COLUMNS`.

    Parameters
    ----------
    swale : Swale
        The swale.
    rates : Rates, optional
        Those of its design; hours and cost are empty without them.

    Returns
    -------
    dict of str to Entry
        A figure a column, in their order.

    Examples
    --------
    >>> swale_row(design.swales[0])["swale"]
    'S1'
    """
    figures: dict[str, Entry] = {
        "sill_at_m": swale.sill.chainage_m,
        "freeboard_left_m": swale.routed.freeboard_m,
        "outlet": swale.sill.lacking or ("soil" if swale.sill.apron is None else "apron"),
        "apron": None if swale.sill.apron is None else swale.sill.apron.kind,
        "stone_d50_mm": None if swale.sill.apron is None else 1000.0 * swale.sill.apron.d50_m,
        "grass_m2": laid_below(swale.sill.apron).get("grass_m2"),
        "failure_overtops": None if swale.failure is None else ", ".join(swale.failure.overtops),
        "failure_reaches": None if swale.failure is None else ", ".join(swale.failure.reaches),
        "check_failure_overtops": None if swale.check_failure is None else ", ".join(swale.check_failure.overtops),
        "topsoil_m3": swale.quantities.topsoil_m3,
        "machine_h": None if rates is None else swale.machine_h(rates),
        "cost": None if rates is None else swale.cost(rates),
        "greatest_slope": float(swale.line.cross_slope.max()),
        "cautions": "; ".join(caution.name for caution in swale.cautions),
    }
    return row_of(swale, SWALE_COLUMNS, **figures)


def totals(layout: SizedLayout) -> dict[str, Entry]:
    """Totals by the names of `TOTAL_COLUMNS`: sums of the unrounded figures, then rounded.

    Parameters
    ----------
    layout : SizedLayout
        The layout, or a whole design.

    Returns
    -------
    dict of str to Entry
        A figure a column, in their order.

    Examples
    --------
    >>> totals(design)["swales"]
    2
    """
    banded = soil_of(layout.site).has_condition
    return row_of(
        layout,
        TOTAL_COLUMNS,
        runoff_m3=sum(swale.runoff_m3 for swale in layout.swales),
        held_dry_mm=layout.held_dry_mm if banded else None,
        held_wet_mm=layout.held_wet_mm if banded else None,
        spill_m3=layout.left_swales_m3,
    )
