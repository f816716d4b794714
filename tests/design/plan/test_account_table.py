"""The table of the water account: closed sums, both storms, and what differs from the sizing in words."""

from dataclasses import replace

import pytest
from sites import make_site, plane

from swalekit.design.plan.account_table import ACCOUNT_COLUMNS, account_rows, account_summary, differences
from swalekit.design.plan.pipeline import plan


@pytest.fixture(scope="module")
def design():
    """Two swales across a plane."""
    return plan(make_site(levels={"levels_m": [106.0, 104.0]}), plane())


def test_the_rows_are_those_of_the_swales_and_the_tile(design):
    """Each has every column; what comes to a swale stays or spills, and the rain of the tile is somewhere."""
    *swales, tile = account_rows(design)
    assert [row["swale"] for row in swales] == [swale.id for swale in design.swales]
    assert tile["swale"] == "tile"
    assert all(list(row) == [column.name for column in ACCOUNT_COLUMNS] for row in (*swales, tile))
    for row in swales:
        assert row["arriving_m3"] == pytest.approx(row["held_m3"] + row["gone_m3"], abs=0.002)
    assert tile["rain_m3"] == pytest.approx(tile["soaked_m3"] + tile["held_m3"] + tile["gone_m3"], abs=0.002)


def test_both_storms_are_in_the_summary(design):
    """Each is closed; the check storm is deeper, its spill is the last column of its kind, and none is lost."""
    told = account_summary(design)
    for name, depth_mm in (("design", 50.0), ("check", 75.0)):
        sums = told[name]
        parts = sum(sums[part] for part in ("soaked_m3", "swales_m3", "hollows_m3", "gone_m3"))
        assert (sums["storm_mm"], sums["residual_m3"]) == (depth_mm, 0.0)
        assert sums["rain_m3"] == pytest.approx(parts, abs=0.002)
    *swales, tile = account_rows(design)
    assert told["check"]["gone_m3"] == tile["check_gone_m3"] > tile["gone_m3"]
    assert told["swales"] == swales
    assert all(row["check_gone_m3"] > 0.0 == row["gone_m3"] for row in swales)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({}, ()),
        ({"on_sill": False}, ("first spills beside its sill",)),
        ({"first_spill_level_m": None}, ("has no pond",)),
        ({"storage_m3": 1.0}, ("stores 1.0 m³, sized for",)),
        ({"arriving_m3": 1.0}, ("gets 1.0 m³, sized for",)),
    ],
)
def test_what_differs_is_said(design, changed, words):
    """Water that comes, storage, and level and place of the first spill are held against the sizing."""
    swale = design.swales[0]
    told = differences(replace(swale, poured=replace(swale.poured, **changed)))
    assert len(told) == len(words)
    assert all(found.startswith(said) for found, said in zip(told, words, strict=True))
