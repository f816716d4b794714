"""The columns of a planting's tables, declared once for all writers and the documentation."""

from swalekit.design.plan.columns import Column

GROW_COLUMNS: tuple[Column, ...] = (
    Column("swale", "", "number of the swale, from the top of the site downward"),
    Column("catchment_m2", "m2", "ground whose runoff it harvests", 0),
    Column("harvested_m3", "m3", "runoff that reaches it in a mean year"),
    Column("reached_share", "", "share of the ditch whose water the trees' roots reach", 2),
    Column("soaked_m3", "m3", "of the harvest, what soaks in within reach of the trees' roots in a mean year"),
    Column("beyond_m3", "m3", "of the harvest, what soaks in beyond their reach in a mean year"),
    Column("evaporated_m3", "m3", "of the harvest, what evaporates from the ditch in a mean year"),
    Column("spilled_m3", "m3", "of the harvest, what leaves over the sill in a mean year"),
    Column("room", "", "trees that there is room for in the rows asked for", 0),
    Column("trees", "", "trees that its water carries", 0),
    Column("pioneers", "", "nursing pioneers that stand between them", 0),
    Column("planted_m2", "m2", "ground of the trees, a spacing squared each", 0),
    Column("ratio", "", "catchment over planted ground"),
    Column(
        "limited_by",
        "",
        "water; room; reach, where too little soaks in within that of a tree; root zone, where soil holds too little",
    ),
    Column(
        "reliability",
        "",
        "share of years, from January or the rains, in which the trees get the least share of their want",
        2,
    ),
    Column("share", "", "what they transpire in all years over what they would without want", 2),
    Column("share_without_swale", "", "the same where no ditch gathers runoff, mulched as planned", 2),
    Column("suffering_years", "", "years in which they get less than the least share"),
    Column("hard_months", "", "months, 1 to 12, in which they do in most years"),
    Column("given_m3", "m3", "water given in a mean year, as far as the brief allows", 0),
    Column("trees_unwatered", "", "trees that its water carries where none is given", 0),
    Column("irrigation_m3", "m3", "water that would meet their whole want in a mean year", 0),
    Column("greatest_irrigation_m3", "m3", "the same in the driest year", 0),
)

GROW_TOTALS: tuple[Column, ...] = (
    Column("trees", "", "trees that the swales' water carries", 0),
    Column("pioneers", "", "nursing pioneers", 0),
    Column("plants", "", "plants in all, ground cover too", 0),
    Column("planted_m2", "m2", "ground of the trees", 0),
    Column("catchment_m2", "m2", "ground whose runoff the planted swales harvest", 0),
    Column("harvested_m3", "m3", "runoff that reaches the planted swales in a mean year", 0),
    Column("harvested_of_all_m3", "m3", "runoff that reaches all swales in a mean year, those without trees too", 0),
    Column("ratio", "", "catchment over planted ground of the planted swales"),
    Column("needed_ratio", "", "the same by the manual's formula, for trees that want for nothing"),
    Column("given_m3", "m3", "water given in a mean year, as far as the brief allows", 0),
    Column("trees_unwatered", "", "trees that the swales' water carries where none is given", 0),
    Column("irrigation_m3", "m3", "water that would meet the trees' whole want in a mean year", 0),
    Column("rain_mm", "mm", "rain of a mean year", 0),
    Column("reference_et_mm", "mm", "reference evapotranspiration of a mean year", 0),
    Column("tree_want_mm", "mm", "transpiration of the grown stand in a mean year if it wanted for nothing", 0),
    Column("mulch_m3", "m3", "mulch when first spread"),
    Column("compost_m3", "m3", "compost at planting"),
    Column("first_water_m3", "m3", "water to hold ready for young plants in the dry season that asks for most", 0),
    Column("raised", "", "seedlings and grafts to start in the nursery, and seed places sown", 0),
    Column("greywater_l_d", "L/d", "the house's greywater, empty without a house", 0),
    Column("reed_bed_m2", "m2", "area of the reed bed", 1),
    Column("commanded_m2", "m2", "planted ground that its best place serves by gravity", 0),
    Column("watered_m2", "m2", "planted ground whose whole want the greywater meets in the thirstiest month", 0),
    Column("cost", "", "cost of the bill's priced lines, empty where none is priced", 0),
)

PLANT_COLUMNS: tuple[Column, ...] = (
    Column("number", "", "number of the plant", 0),
    Column("swale", "", "number of the swale"),
    Column("row", "", "berm, foot of the berm, or row below it"),
    Column("species", "", "common name"),
    Column("binomial", "", "botanical name"),
    Column("role", "", "pioneer, fruit or ground cover"),
    Column("plant_year", "", "calendar year in which it is planted", 0),
    Column("easting_m", "m", "easting in the CRS of the project", 2),
    Column("northing_m", "m", "northing in the CRS of the project", 2),
)

MONTH_COLUMNS: tuple[Column, ...] = (
    Column("measure", "", "bare, mulch, swale, or swale and mulch"),
    Column("month", "", "month, 1 to 12", 0),
    Column("rain_mm", "mm", "rain of a mean year"),
    Column("harvested_mm", "mm", "water that soaks in from the ditches within reach of roots, over the planted ground"),
    Column("transpiration_mm", "mm", "what the trees transpire"),
    Column("demand_mm", "mm", "what they would transpire without want"),
    Column("share", "", "transpiration over demand", 2),
)

YEAR_COLUMNS: tuple[Column, ...] = (
    Column("year", "", "calendar year of the record; made years are counted from 1", 0),
    Column("month", "", "month, 1 to 12", 0),
    Column("rain_mm", "mm", "rain"),
    Column(
        "harvested_mm", "mm", "water that soaked in from the ditches within reach of roots, over the planted ground"
    ),
    Column("transpiration_mm", "mm", "what the grown trees would have transpired"),
    Column("demand_mm", "mm", "the same without want"),
    Column("share", "", "transpiration over demand", 2),
    Column("suffers", "", "1 where that is below the least share, else 0", 0),
    Column("given_mm", "mm", "water given, as far as the brief allows"),
    Column("irrigation_mm", "mm", "water that would have met their whole want"),
)

STAND_COLUMNS: tuple[Column, ...] = (
    Column("year", "", "calendar year of the schedule", 0),
    Column("cover", "", "share of the planted ground under canopies of pioneers and trees", 2),
    Column("root_depth_m", "m", "depth of their roots", 2),
    Column("reached_share", "", "share of what soaks in from the ditches that their roots reach", 2),
    Column("want_m3", "m3", "what they would transpire in a mean year without want", 0),
    Column("met", "", "share of it that they get, the brief's irrigation counted; water given by hand comes on top", 2),
    Column("short_share", "", "share of years of the record in which they get less than the least share", 2),
)

SCHEDULE_COLUMNS: tuple[Column, ...] = (
    Column("year", "", "calendar year", 0),
    Column("task", "", "what is done"),
    Column("species", "", "to what"),
    Column("plants", "", "to how many", 0),
)

NURSERY_COLUMNS: tuple[Column, ...] = (
    Column("species", "", "common name"),
    Column("sow", "", "month of sowing or grafting"),
    Column("plant", "", "month of planting"),
    Column("raised", "", "seedlings or grafts to start, losses included", 0),
    Column("planted", "", "plants on the plan", 0),
    Column("replacements", "", "plants for those lost in their first dry season", 0),
)

CALENDAR_COLUMNS: tuple[Column, ...] = (
    Column("month", "", "month, 1 to 12", 0),
    Column("name", "", "its name"),
    Column("task", "", "what is done"),
)

BILL_COLUMNS: tuple[Column, ...] = (
    Column("item", "", "what is supplied"),
    Column("quantity", "", "how much"),
    Column("unit", "", "of what"),
    Column("price", "", "price of a unit, empty where the brief names none", 2),
    Column("cost", "", "quantity times price", 0),
)
