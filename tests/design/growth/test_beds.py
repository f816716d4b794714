"""Annual beds beside a planting: where they lie, what they want, and what carries them."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely
from grown import NORTH, WEST, grow_design, records

from swalekit.design.brief.beds_part import BedsPart
from swalekit.design.growth.bed_table import bed_ground_rows, bed_rows, bed_stake_rows, bed_water_rows
from swalekit.design.growth.bed_water import BedWater, bed_want_mm, water_beds
from swalekit.design.growth.grow import grow
from swalekit.design.growth.growth import Growth
from swalekit.design.plan.design import Design
from swalekit.errors import BriefError, GeometryError
from swalekit.reporting.words.bed_words import bed_sentences

AREA = shapely.box(WEST + 10.0, NORTH - 45.0, WEST + 60.0, NORTH - 12.0)


def with_parts(design: Design, **parts: Any) -> Design:
    """The same swales with other parts of the brief."""
    return replace(design, site=design.site.with_values(parts))


@pytest.fixture(scope="module")
def design() -> Design:
    """Two swales across a plane, with a house of four above them."""
    return grow_design(greywater={"people": 4.0}, prices={"compost": 30.0, "tank": 100.0, "bed wall": 5.0})


@pytest.fixture(scope="module")
def growth(design: Design) -> Growth:
    """Beds below the house, and a tank of its roof."""
    return grow(with_parts(design, tank={"volume_m3": 20.0}), replace(records(), beds=AREA))


def test_beds_keep_off_swales_house_and_trees(growth: Growth) -> None:
    """No bed touches a swale's works with a metre round them, the house's setback, or the ground of a stem."""
    garden = growth.garden
    assert garden is not None
    ground = shapely.union_all([bed.outline for bed in garden.beds])
    assert all(swale.works.distance(ground) >= 1.0 - 1e-6 for swale in growth.design.swales)
    assert all(keep_out.zone.distance(ground) >= 0.0 and not keep_out.zone.overlaps(ground)
               for keep_out in growth.design.site.keep_outs)  # fmt: skip
    stems = [xy for swale in growth.swales for xy, row in zip(swale.planting.xy, swale.planting.row, strict=True)
             if row != "berm"]  # fmt: skip
    assert min(shapely.Point(xy).distance(ground) for xy in stems) >= 1.5 - 0.02
    assert sum(garden.ground_m2.values()) == pytest.approx(garden.asked.area, abs=0.5)
    assert garden.ground_m2["swales and overflow"] > 0.0
    reed_bed = growth.greywater.places[0].place.xy
    assert not ground.contains(shapely.Point(reed_bed))


def test_month_of_want_by_hand() -> None:
    """July of 31 days at 6 mm and 20 mm of rain: 1.05 × 186 less 20 (125 − 4) / 125, by halves and with shade."""
    july = np.arange("2001-07-01", "2001-08-01", dtype="datetime64[D]")
    rain = np.where(np.arange(31) == 9, 20.0, 0.0)
    open_mm = 1.05 * 186.0 - 19.36
    assert bed_want_mm(BedsPart(), july, np.full(31, 6.0), rain).sum() == pytest.approx(open_mm)
    half = bed_want_mm(BedsPart(wicking=True), july, np.full(31, 6.0), rain).sum()
    assert half == pytest.approx(0.5 * 1.05 * 186.0 - 19.36)
    shaded = bed_want_mm(BedsPart(shade=0.3), july, np.full(31, 6.0), rain).sum()
    assert shaded == pytest.approx(0.7 * 1.05 * 186.0 - 19.36)
    assert not bed_want_mm(BedsPart(months=(5, 6)), july, np.full(31, 6.0), rain).any()


def test_water_closes_to_a_billionth(growth: Growth) -> None:
    """Each day want = greywater used + given by the tank + short, and the tank keeps its balance."""
    water = growth.bed_water
    assert water is not None
    assert water.tank is not None
    assert np.abs(water.want_m3 - water.greywater_used_m3 - water.given_m3 - water.short_m3).max() < 1e-9
    assert water.short_m3.min() > -1e-9
    tank = water.tank
    gone = tank.given_m3.sum() + tank.spilled_m3.sum() + tank.stored_m3[-1]
    assert abs(tank.start_m3 + tank.inflow_m3.sum() - gone) < 1e-9
    assert (water.greywater_used_m3 <= water.greywater_m3 + 1e-12).all()
    rows = bed_water_rows(growth)
    assert sum(row["want_m3"] for row in rows) == pytest.approx(
        sum(row["greywater_used_m3"] + row["tank_given_m3"] + row["short_m3"] for row in rows), abs=0.2
    )
    assert 0.0 < water.carried_m2 < water.area_m2


def even_water(greywater_m3: float, area_m2: float) -> BedWater:
    """A year in which a square metre wants 2 mm a day."""
    dates = np.arange("2001-01-01", "2003-01-01", dtype="datetime64[D]")
    even, none = np.full(dates.size, 1.0), np.zeros(dates.size)
    return BedWater(dates, area_m2, even, none, 2.0 * even, greywater_m3 * even, none, area_m2, None, 0.0, 1.0)


def test_carried_area_by_hand() -> None:
    """0.1 m³ a day carries 50 m² at 2 mm; told are those that get nine tenths; a tank adds its own."""
    alone = water_beds(even_water(0.1, 200.0))
    assert alone.by_greywater_m2[6] == pytest.approx(50.0)
    assert alone.carried_m2 == pytest.approx(50.0 / 0.9, abs=0.01)
    with_tank = water_beds(even_water(0.1, 200.0), inflow_m3=np.full(730, 0.1), volume_m3=5.0)
    assert with_tank.carried_m2 == pytest.approx(100.0 / 0.9, abs=0.01)
    assert water_beds(even_water(0.1, 40.0)).carried_m2 == 40.0


def test_tables_and_words_tell_the_same_beds(growth: Growth) -> None:
    """Areas add up, stakes stand at both ends of every bed on its level, and the sentence names the ground."""
    rows, stakes, water = bed_rows(growth), bed_stake_rows(growth), growth.bed_water
    assert water is not None
    assert sum(row["area_m2"] for row in rows) == pytest.approx(growth.garden.area_m2, abs=0.05 * len(rows))
    for row in rows:
        own = [stake for stake in stakes if stake["bed"] == row["bed"]]
        assert [own[0]["mark"], own[-1]["mark"]] == ["end", "end"]
        assert all(abs(stake["ground_m"] - row["level_m"]) <= 0.06 for stake in own)
    words = bed_sentences(growth)
    assert words[0].startswith(f"{growth.garden.area_m2:,.0f} m² of annual beds: greywater carries ")
    assert f"{water.carried_m2:,.0f} m²" in words[0]
    assert bed_ground_rows(growth)[-1]["ground"] == "beds"
    assert "greywater on beds" in growth.cautions
    bill = {line.item: line for line in growth.bill.lines}
    assert bill["compost, beds"].quantity == pytest.approx(0.05 * growth.garden.area_m2)
    assert bill["compost, beds"].cost == pytest.approx(30.0 * 0.05 * growth.garden.area_m2)
    assert bill["tank"].cost == 2000.0
    assert bill["bed wall"].quantity == pytest.approx(growth.garden.wall_length_m)


def test_beds_that_cannot_be_laid_are_refused_with_the_reason(design: Design) -> None:
    """Ground off the site, too steep, and a tank without a roof end in one line."""
    far = replace(records(), beds=shapely.box(0.0, 0.0, 10.0, 10.0))
    with pytest.raises(GeometryError, match="wholly outside the site"):
        grow(design, far)
    asked = replace(records(), beds=AREA)
    with pytest.raises(GeometryError, match=r"too steep: .* fall more than 5 %"):
        grow(with_parts(design, beds={"greatest_slope": 0.05}), asked)
    bare = with_parts(grow_design(house=False), tank={"volume_m3": 5.0})
    with pytest.raises(BriefError, match="building"):
        grow(bare, asked)
