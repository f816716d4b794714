"""The columns of every table that leaves the program, declared once for all writers and the documentation."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Column:
    """A column: its name, unit, meaning, and the decimals in which it is written."""

    name: str
    unit: str
    meaning: str
    decimals: int = 1


SWALE_COLUMNS: tuple[Column, ...] = (
    Column("swale", "", "number of the swale, from the top of the site downward"),
    Column("level_m", "m", "level of the ground along the line", 2),
    Column("length_m", "m", "length along the line"),
    Column("catchment_m2", "m2", "ground whose water meets this swale before any other", 0),
    Column("runoff_m3", "m3", "water that the design storm brings from the catchment and on the ditch itself"),
    Column("spill_in_m3", "m3", "water that the design storm spills into it from swales above"),
    Column("depth_m", "m", "dig depth at the stake, ground to ditch floor", 2),
    Column("crest_m", "m", "level of the berm crest", 2),
    Column("sill_m", "m", "level of the overflow sill", 2),
    Column("water_depth_m", "m", "depth of the water in a full ditch, floor to sill", 2),
    Column("storage_m3", "m3", "water held below the sill"),
    Column("held_storm_mm", "mm", "deepest storm that leaves the swale without spilling"),
    Column("spill_m3", "m3", "water that the design storm sends over the sill"),
    Column("sill_length_m", "m", "length of the level sill for the check storm"),
    Column(
        "sill_at_m", "m", "chainage of the sill's middle, from the end with downhill on the right hand looking along"
    ),
    Column("check_flow_m3s", "m3/s", "peak over the sill in the check storm", 3),
    Column("peak_level_m", "m", "highest water of the design storm", 2),
    Column("freeboard_left_m", "m", "crest above the highest water of the check storm, negative where it goes over", 2),
    Column("outlet", "", "whether the ground below the sill bears the check storm's flow, else what helps"),
    Column("soaked_m3", "m3", "water of the design storm that soaks away in the ditch"),
    Column(
        "empty_h",
        "h",
        "hours from the end of the rain until dry; empty without an intake rate or where it takes over 200",
        0,
    ),
    Column("spills_to", "", "where its overflow goes: a swale, a hollow, or off the tile"),
    Column(
        "failure_overtops", "", "swales over whose berm water would go if it failed when fullest in the design storm"
    ),
    Column("failure_left_m3", "m3", "more water that would leave the site then"),
    Column("dug_m3", "m3", "bank volume cut"),
    Column("berm_m3", "m3", "compacted volume of the berm, its returns at the ends included"),
    Column("loose_m3", "m3", "volume of the dug soil before it is compacted"),
    Column("strip_m2", "m2", "ground disturbed, ditch lip to berm toe", 0),
    Column("topsoil_m3", "m3", "topsoil to set aside from the strip and spread on berm and ditch sides again"),
    Column("machine_h", "h", "machine hours"),
    Column("cost", "", "cost at the brief's rates, empty where it names no price", 0),
    Column("mean_slope", "m/m", "mean slope of the ground across the line", 3),
    Column("greatest_slope", "m/m", "steepest ground across the line", 3),
    Column("berm_height_m", "m", "greatest height of the crest above the ground beneath it", 2),
    Column("position_sigma_m", "m", "standard error of the line's place, height error over slope", 2),
    Column("cautions", "", "cautions that this swale's figures raise"),
)

TOTAL_COLUMNS: tuple[Column, ...] = (
    Column("swales", "", "number of swales", 0),
    Column("length_m", "m", "length of all swales"),
    Column("catchment_m2", "m2", "ground that drains to a swale", 0),
    Column("runoff_m3", "m3", "water that the design storm brings to the swales from catchments and on the ditches"),
    Column("storage_m3", "m3", "water held below the sills"),
    Column("held_m3", "m3", "water of the design storm that the swales hold"),
    Column("held_storm_mm", "mm", "deepest storm that leaves every swale without spilling"),
    Column("held_dry_mm", "mm", "the same on ground dry before (antecedent condition I); none without curve numbers"),
    Column("held_wet_mm", "mm", "the same on ground wet before (antecedent condition III); none without curve numbers"),
    Column("spill_m3", "m3", "water of the design storm that leaves the last swales over their sills"),
    Column("site_runoff_m3", "m3", "water that the design storm brings to the site, from uphill and on it"),
    Column("kept_share", "", "share of that water which stays in swales and hollows of the site", 3),
    Column("dug_m3", "m3", "bank volume cut"),
    Column("berm_m3", "m3", "compacted volume of the berms"),
    Column("loose_m3", "m3", "volume of the dug soil before it is compacted"),
    Column("strip_m2", "m2", "ground disturbed", 0),
    Column("topsoil_m3", "m3", "topsoil to set aside"),
    Column("machine_h", "h", "machine hours"),
    Column("cost", "", "cost at the brief's rates with mobilisation, empty where it names no price", 0),
)
