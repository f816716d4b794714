"""The tables of published numbers and their look-ups."""

import pytest

from swalekit.errors import InputError
from swalekit.tables.curve_numbers import GROUPS, covers, curve_number
from swalekit.tables.load import TableRow, named_rows, read_table
from swalekit.tables.values import (
    level_spreader,
    setback,
    site_limit,
    soil_group,
    soil_intake,
    swell,
    terrain_accuracy,
    weir_coefficient,
)

NAMED_TABLES = (
    "swell",
    "setbacks",
    "crossings",
    "soil_intake",
    "terrain_accuracy",
    "weirs",
    "site_limits",
    "microcatchment_rules",
    "level_spreader",
    "beds",
    "rain_tank",
    "greywater_loading",
    "branched_drain",
    "compost_toilet",
)


@pytest.mark.parametrize(
    ("cover", "condition", "group", "published"),
    [
        ("herbaceous", "poor", "D", 93),  # NEH 630 ch. 9, Table 9-2
        ("oak-aspen brush", "good", "B", 30),
        ("pinyon-juniper", "fair", "C", 73),
        ("sagebrush", "good", "D", 55),
        ("desert shrub", "fair", "A", 55),
        ("pasture", "fair", "B", 69),  # NEH 630 ch. 9, Table 9-1
        ("brush", "good", "A", 30),
        ("orchard", "poor", "C", 82),
        ("woods", "good", "D", 77),
        ("dirt road", "any", "B", 82),
        ("bare fallow", "any", "A", 77),
        ("row crop contoured", "good", "C", 82),
        ("small grain contoured and terraced", "poor", "D", 82),
        ("legume meadow straight", "good", "A", 58),
    ],
)
def test_curve_numbers_of_neh_630_chapter_9(cover: str, condition: str, group: str, published: float) -> None:
    """Curve numbers are those printed in NEH 630 ch. 9, Tables 9-1 and 9-2."""
    assert curve_number(cover, condition, group).curve_number == published


def test_curve_numbers_rise_from_group_to_group_and_fall_with_condition() -> None:
    """In every printed row the number rises from A to D, and good ground has a lower one than poor."""
    rank = {"poor": 0, "fair": 1, "good": 2, "any": 0}
    for row in read_table("curve_numbers"):
        numbers = [float(row[group.lower()]) for group in GROUPS if row[group.lower()] != "-"]
        assert numbers == sorted(set(numbers))
    for cover in covers():
        rows = sorted(
            (r for r in read_table("curve_numbers") if r["cover"] == cover), key=lambda r: rank[r["condition"]]
        )
        numbers = [float(row["d"]) for row in rows]
        assert numbers == sorted(numbers, reverse=True)


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        (("desrt shrub", "poor", "B"), "did you mean 'desert shrub'"),
        (("pasture", "splendid", "B"), "has no condition 'splendid'; it has poor, fair, good"),
        (("sagebrush", "poor", "A"), "no curve number is published"),
        (("pasture", "poor", "E"), "group is 'E'"),
    ],
)
def test_curve_number_fails(wanted: tuple[str, str, str], words: str) -> None:
    """A cover, condition or group that isn't in the table ends in one line that offers what is."""
    with pytest.raises(InputError, match=words) as error:
        curve_number(*wanted)
    assert "\n" not in str(error.value)


@pytest.mark.parametrize(
    ("row", "value", "unit"),
    [
        (swell("shale"), 65.0, "%"),
        (level_spreader("longest"), 40.0, "m"),  # Hathaway & Hunt (2006), as in a public manual
        (setback("septic field"), 15.0, "m"),  # from memory: 50 ft
        (soil_intake("clay"), 0.3, "mm/h"),  # Rawls, Brakensiek & Miller (1983) Table 2
        (terrain_accuracy("lidar"), 0.10, "m"),  # from memory: USGS TM 11-B4
        (weir_coefficient("ideal"), 1.705, "m^0.5/s"),
    ],
)
def test_look_up_gives_number_and_unit(row: TableRow, value: float, unit: str) -> None:
    """A look-up gives the number of the table with its unit."""
    assert (row.value, row.unit) == (value, unit)


@pytest.mark.parametrize("table", NAMED_TABLES)
def test_every_row_has_a_unit_and_a_source(table: str) -> None:
    """No number stands without unit and source, and printing a row shows both."""
    for row in named_rows(table).values():
        assert row.value > 0
        assert row.unit
        assert row.source
        assert f"{row.unit} ({row.source})" in str(row)


def test_unknown_name_fails() -> None:
    """A name that a table doesn't hold ends in an error that offers the nearest."""
    with pytest.raises(InputError, match=r"material is 'eart'.*did you mean 'earth'"):
        swell("eart")


@pytest.mark.parametrize(
    ("texture", "group"), [("sandy loam", "A"), ("silt loam", "B"), ("sandy clay loam", "C"), ("clay loam", "D")]
)
def test_soil_groups_of_tr_55_appendix_a(texture: str, group: str) -> None:
    """The heaviest texture of each group, and every texture of the intake table has one."""
    assert soil_group(texture) == group
    assert {row["texture"] for row in read_table("soil_groups")} == set(named_rows("soil_intake"))


def test_limits_of_ground_rise() -> None:
    """What suits swales is gentler than what may slip; basins are for gentler and drier ground."""
    swale, slip = site_limit("swale greatest slope").value, site_limit("slip slope").value
    assert site_limit("microcatchment greatest slope").value < swale < slip
    assert site_limit("microcatchment least rain").value < site_limit("swale least rain").value
