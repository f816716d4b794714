"""Crop coefficients and growth stages, cell by cell against the tables of FAO-56 (1998) as pyfao56 transcribes them."""

from typing import Any

import pytest

from swalekit.tables.load import read_table

TABLES = pytest.importorskip("pyfao56.tools.tables", reason="its tables are what ours are held against")
published = TABLES.FAO56Tables()

CROPS = {
    "almond, no cover": ("almonds no ground cover", "almonds"),
    "apple, cherry, pear, no cover, frost": (
        "apples cherries pears no ground cover killing frost",
        "apples cherries pears",
    ),
    "apple, cherry, pear, no cover, no frost": (
        "apples cherries pears no ground cover no frosts",
        "apples cherries pears",
    ),
    "apple, cherry, pear, active cover, frost": (
        "apples cherries pears active ground cover killing frost",
        "apples cherries pears",
    ),
    "apple, cherry, pear, active cover, no frost": (
        "apples cherries pears active ground cover no frosts",
        "apples cherries pears",
    ),
    "stone fruit, no cover, frost": (
        "apricots peaches stone fruit no ground cover killing frost",
        "apricots peaches stone fruit",
    ),
    "stone fruit, no cover, no frost": (
        "apricots peaches stone fruit no ground cover no frosts",
        "apricots peaches stone fruit",
    ),
    "stone fruit, active cover, frost": (
        "apricots peaches stone fruit active ground cover killing frost",
        "apricots peaches stone fruit",
    ),
    "stone fruit, active cover, no frost": (
        "apricots peaches stone fruit active ground cover no frosts",
        "apricots peaches stone fruit",
    ),
    "avocado, no cover": ("avocado no ground cover", "avocado"),
    **{
        f"citrus, {ours}, {share} % canopy": (f"citrus {theirs} {share}% canopy", f"citrus {share}% canopy")
        for ours, theirs in (
            ("no cover", "no ground cover"),
            ("active cover", "active ground cover or weeds"),
        )
        for share in (70, 50, 20)
    },
    "conifers": ("conifer trees", "conifer trees"),
    "kiwi": ("kiwi", "kiwi"),
    "olive": ("olives 40% to 60% ground coverage by canopy", "olives 40% to 60% ground coverage by canopy"),
    "pistachio": ("pistachios no ground cover", "pistachios"),
    "walnut": ("walnut orchard", "walnut orchard"),
    "date palm": ("date palms", "date palms"),
    "palm trees": ("palm trees", "palm trees"),
    "banana, first year": ("banana first year", "banana first year"),
    "banana, second year": ("banana second year", "banana second year"),
    "grape, table": ("grapes table raisin", "grapes table raisin"),
    "grape, wine": ("grapes wine", "grapes wine"),
    "berry bushes": ("berries bushes", "berries bushes"),
    "alfalfa hay": ("alfalfa hay averaged cutting effects", "alfalfa for hay"),
    "reed swamp, standing water": ("reed swamp standing water", ""),
    "reed swamp, moist soil": ("reed swamp moist soil", ""),
    "cattail and bulrush, frost": ("cattails bulrushes killing frost", ""),
    "cattail and bulrush, no frost": ("cattails bulrushes no frost", ""),
}
"""Our row -> name in Tables 12 and 17, and name in Table 22, '' where that has none."""

OTHERWISE_IN_17 = {
    "alfalfa hay averaged cutting effects": "alfalfa hay individual cutting periods",
    **{
        f"citrus active ground cover or weeds {share}% canopy": (
            f"citrus with active ground cover or weeds {share}% canopy"
        )
        for share in (70, 50, 20)
    },
}

STAGES = {
    "citrus, Mediterranean": ("citrus", "mediterranean"),
    "olive": ("olives", "mediterranean"),
    "deciduous orchard, high latitude": ("deciduous orchard", "high latitudes"),
    "deciduous orchard, low latitude": ("deciduous orchard", "low latitudes"),
    "deciduous orchard, California": ("deciduous orchard", "california usa"),
    "pistachio": ("pistachios", "mediterranean"),
    "walnut": ("walnuts", "utah usa"),
    "grape, California": ("grapes", "california usa"),
}
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


def row_of(table: Any, **wanted: str) -> dict[str, str]:
    """The one row of a published table that bears some names, or none."""
    (*found,) = (
        row for row in table.to_dict("records") if all(row[column] == value for column, value in wanted.items())
    )
    assert len(found) <= 1
    return found[0] if found else {}


def numbers(row: dict[str, str], *columns: str) -> list[float]:
    """Some cells of a row; none where the row is missing or they are empty."""
    return [float(row[column]) for column in columns if row.get(column)]


def test_every_row_is_held_against_one() -> None:
    """No crop and no stages are left out."""
    assert [row["crop"] for row in read_table("crop_coefficients")] == list(CROPS)
    assert [row["name"] for row in read_table("growth_stages")] == list(STAGES)


@pytest.mark.parametrize("row", read_table("crop_coefficients"), ids=lambda row: row["crop"])
def test_coefficients_are_those_of_tables_12_17_and_22(row: dict[str, str]) -> None:
    """Kc, height, Kcb, rooting depth and depletion fraction are the printed ones, and empty where none is printed."""
    name, rooting = CROPS[row["crop"]]
    single = row_of(published.table12, Crop=name)
    basal = row_of(published.table17, Crop=OTHERWISE_IN_17.get(name, name))
    roots = row_of(published.table22, Crop=rooting)
    assert numbers(row, "kc_ini", "kc_mid", "kc_end", "height_m") == numbers(
        single, "Kcmini", "Kcmmid", "Kcmend", "hmax"
    )
    assert numbers(row, "kcb_ini", "kcb_mid", "kcb_end") == numbers(basal, "Kcbini", "Kcbmid", "Kcbend")
    assert numbers(row, "least_root_depth_m", "greatest_root_depth_m", "depletion_fraction") == numbers(
        roots, "Zrmax1", "Zrmax2", "pbase"
    )


@pytest.mark.parametrize("row", read_table("growth_stages"), ids=lambda row: row["name"])
def test_stages_are_those_of_table_11(row: dict[str, str]) -> None:
    """Days of the four stages and the month of the first are the printed ones."""
    crop, region = STAGES[row["name"]]
    printed = row_of(published.table11, Crop=crop, Region=region)
    assert numbers(row, "ini_days", "dev_days", "mid_days", "late_days") == numbers(
        printed, "Lini", "Ldev", "Lmid", "Llate"
    )
    assert MONTHS[int(row["start_month"]) - 1] == printed["Plant Date"]


@pytest.mark.parametrize(("constant", "name"), [("open water under 2 m deep", "open water < 2 m depth")])
def test_open_water_is_that_of_table_12(constant: str, name: str) -> None:
    """Open water evaporates as printed."""
    (ours,) = (row for row in read_table("evapotranspiration") if row["name"] == constant)
    (printed,) = (row for row in published.table12.to_dict("records") if row["Crop"].startswith(name))
    assert float(ours["value"]) == float(printed["Kcmmid"])
