"""A branched drain and a compost toilet beside a planting."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely
from grown import NORTH, WEST, grow_design, records

from swalekit.design.growth.grow import grow
from swalekit.design.growth.growth import Growth
from swalekit.design.growth.house_table import basin_rows, toilet_rows
from swalekit.errors import BriefError
from swalekit.reporting.words.greywater_words import greywater_sentences
from swalekit.results.growth.write import write_growth


def grown(*, toilet: dict[str, Any] | None = None, **greywater: Any) -> Growth:
    """A house of four above two swales."""
    design = grow_design(greywater={"people": 4.0, **greywater}, prices={"mulch": 20.0, "toilet": 300.0})
    return grow(replace(design, site=design.site.with_values({"toilet": toilet or {}})), records())


@pytest.fixture(scope="module")
def drained() -> Growth:
    """With a branched drain to four basins, and a toilet beside the house."""
    return grown(kind="branched drain", basins=4, toilet={"people": 4.0, "xy": [WEST + 50.0, NORTH - 16.0]})


def test_basins_stand_at_planned_trees_that_gravity_reaches(drained: Growth) -> None:
    """Each at a tree of its own, its pipe in the open just above the mulch, in falls of the grade at least."""
    found = drained.greywater
    drain = found.drain
    plantings = [swale.planting for swale in drained.swales]
    listed = [pair for each in plantings for pair in zip(each.xy, each.species, strict=True)]
    trees = np.array([xy for xy, species in listed if species.role == "fruit"])
    apart = np.hypot(*(trees[:, None] - drain.basins_m[None]).T)
    assert (apart.min(axis=1) == 0.0).all()
    assert len(np.unique(drain.basins_m, axis=0)) == drain.count == 4
    assert (drain.arrival_m <= drain.ground_m - 0.1 + 1e-9).all()
    assert (drain.arrival_m >= drain.ground_m - 0.3 - 1e-9).all()
    assert drain.litres_each == pytest.approx(608.0 / 4)
    assert drain.need.area_m2 == pytest.approx(608.0 / drain.need.loading_mm_d)
    assert found.left_m3_d == pytest.approx(0.608)
    start = found.places[0].place
    assert found.route.invert_m[-1] >= start.ground_m - 0.2 - 1e-6


def test_every_caution_and_supply_of_a_drain_is_told(drained: Growth) -> None:
    """No kitchen water, no keeping, no swale, the codes; pipes, splits, basins and their mulch in the bill."""
    for name in ("branched drain", "storm ditch", "codes", "storage", "clearances"):
        assert name in drained.cautions
    assert "no kitchen water" in drained.cautions["branched drain"]
    legs = shapely.multilinestrings(list(drained.greywater.drain.legs_m))
    crossed = any(legs.intersects(swale.works) for swale in drained.design.swales)
    assert ("branches through a swale" in drained.cautions) is crossed
    assert "reed bed" not in drained.cautions
    bill = {line.item: line for line in drained.bill.lines}
    assert bill["split"].quantity == 3.0
    assert bill["basin"].quantity == pytest.approx(0.3 * drained.greywater.drain.need.area_m2)
    assert bill["mulch, basins"].cost == pytest.approx(20.0 * bill["basin"].quantity)
    assert bill["pipe, branches"].quantity == pytest.approx(drained.greywater.drain.length_m)
    assert "gravel" not in bill
    assert "a branched drain splits it by halves to 4 basins of mulch" in greywater_sentences(drained)[0]


def test_toilet_is_sized_priced_and_held_against_the_house(drained: Growth) -> None:
    """Two chambers of 4 × 150 L × 2 years and a fifth, a line in the bill, and a caution where it stands too near."""
    figures = {row["figure"]: row["value"] for row in toilet_rows(drained)}
    assert figures["volume of each chamber"] == pytest.approx(1.44)
    bill = {line.item: line for line in drained.bill.lines}
    assert (bill["toilet"].heading, bill["toilet"].cost) == ("toilet", 300.0)
    assert bill["toilet chamber"].quantity == pytest.approx(2.88)
    assert "building" in drained.cautions["toilet near"]
    assert "trees only" in drained.cautions["compost toilet"]
    assert greywater_sentences(drained)[-1].startswith("A compost toilet for 4 people")
    away = grown(toilet={"people": 4.0, "xy": [WEST + 90.0, NORTH - 16.0]})
    assert "toilet near" not in away.cautions
    assert toilet_rows(grown()) == []


def test_files_of_the_house_are_written_where_there_is_something_to_tell(drained: Growth, tmp_path) -> None:
    """Basins and toilet have a table, a single outlet has none, and two runs give the same bytes."""
    for name in ("one", "two"):
        write_growth(drained, tmp_path / name)
    files = {path.name for path in (tmp_path / "one").iterdir()}
    assert {"basins.csv", "toilet.csv"} <= files
    assert not {"outlets.csv", "beds.csv"} & files
    for name in ("basins.csv", "toilet.csv", "bill.csv", "planting.png"):
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes()
    assert len(basin_rows(drained)) == 4


@pytest.mark.parametrize(
    ("greywater", "words"),
    [
        ({"basins": 4}, 'basins go with kind = "branched drain"'),
        ({"kind": "branched drain", "basins": 3}, "basins"),
        ({"kind": "branched drain", "wicking_beds": True}, "waters trees alone"),
        ({"kind": "pond"}, "kind"),
    ],
)
def test_drains_that_cannot_be_are_refused(greywater: dict[str, Any], words: str) -> None:
    """Basins of a reed bed, three of them, wicking beds on a drain, a kind that isn't known."""
    with pytest.raises(BriefError, match=words):
        grown(**greywater)
