"""Several outlets of a house: which are led to the bed, what each reaches, and how the pipe comes there."""

from typing import Any

import numpy as np
import pytest
import shapely
from grown import grow_design, records

from swalekit.design.growth.grow import grow
from swalekit.design.growth.growth import Growth
from swalekit.errors import BriefError
from swalekit.reporting.words.greywater_words import greywater_sentences

BATH, LAUNDRY = {"name": "bath", "sources": ["bathing"]}, {"name": "laundry", "sources": ["laundry"]}


def grown(*outlets: dict[str, Any], **greywater: Any) -> Growth:
    """A house of three with these outlets above two swales."""
    return grow(grow_design(greywater={"people": 3.0, "outlets": list(outlets), **greywater}), records())


def test_single_outlet_is_that_of_the_keys() -> None:
    """One outlet listed at the level of the single one gives the same bed, place and pipe."""
    single = grow(grow_design(greywater={"people": 3.0}), records()).greywater
    listed = grown({"name": "all", "sources": ["bathing", "laundry"], "height_m": -0.3}).greywater
    assert single is not None
    assert listed is not None
    assert listed.places[0].place == single.places[0].place
    assert listed.bed == single.bed
    assert np.array_equal(listed.route.invert_m, single.route.invert_m)
    assert [outlet.name for outlet in single.led] == [""]


def test_every_place_lies_below_the_pipes_led_to_it() -> None:
    """The pipe arrives below its cover at the grade, and all that come down to the place are led to it."""
    found = grown(BATH | {"height_m": 2.0}, LAUNDRY | {"height_m": 0.2}).greywater
    assert found is not None
    best = found.places[0].place
    for outlet in found.led:
        assert best.ground_m <= outlet.level_m - 0.02 * shapely.Point(outlet.xy).distance(shapely.Point(best.xy))
    assert found.route.invert_m[-1] >= best.ground_m - 0.2 - 1e-6
    steps = np.hypot(*np.diff(found.route.xy, axis=0).T)
    assert (-np.diff(found.route.invert_m) >= 0.02 * steps - 1e-9).all()
    assert found.flow_m3_d == pytest.approx(sum(outlet.flow_m3_d for outlet in found.led))
    assert found.bed.flow_m3_d == pytest.approx(found.flow_m3_d)


def test_a_higher_bath_serves_more_planted_ground_than_the_lowest_outlet_alone() -> None:
    """Raised by two metres an outlet reaches at least what it did, and its gain is what half a metre more gives."""
    low = grown({"name": "all", "sources": ["bathing", "laundry"], "height_m": -1.5}).greywater
    high = grown({"name": "all", "sources": ["bathing", "laundry"], "height_m": -1.0}).greywater
    assert low is not None
    assert high is not None
    assert high.reaches[0].commanded_m2 == pytest.approx(low.reaches[0].commanded_m2 + low.reaches[0].gain_m2)


def test_words_and_flows_of_each_outlet() -> None:
    """A source that two outlets name is shared, litres stand for themselves, and each is told."""
    growth = grown(
        BATH | {"height_m": 2.0}, LAUNDRY | {"height_m": -0.4}, {"name": "basin", "litres_d": 20.0, "height_m": 2.5},
        {"name": "shower", "sources": ["bathing"], "height_m": -0.2},
    )  # fmt: skip
    flows = {outlet.name: 1000.0 * outlet.flow_m3_d for outlet in growth.greywater.outlets}
    assert flows == pytest.approx({"bath": 142.5, "laundry": 171.0, "basin": 20.0, "shower": 142.5})
    told = greywater_sentences(growth)[-1]
    assert all(name.capitalize() in told for name in flows)


@pytest.mark.parametrize(
    ("outlets", "words"),
    [
        ([BATH], "needs either level_m or height_m"),
        ([BATH | {"height_m": 1.0, "level_m": 110.0}], "needs either level_m or height_m"),
        ([{"name": "bath", "height_m": 1.0}], "needs either sources or litres_d"),
        ([{"name": "bath", "sources": ["bathin"], "height_m": 1.0}], "bathing"),
        ([BATH | {"height_m": 1.0}, LAUNDRY | {"name": "bath", "height_m": 1.0}], "a name of its own"),
    ],
)
def test_outlets_that_say_too_little_or_too_much_are_refused(outlets: list[dict[str, Any]], words: str) -> None:
    """No level, two, no water, an unknown source, a name twice: one line each."""
    with pytest.raises(BriefError, match=words) as told:
        grow_design(greywater={"people": 3.0, "outlets": outlets})
    assert "\n" not in str(told.value)


def test_level_far_from_the_house_is_refused_by_the_outlets_name() -> None:
    """A level that can't be one of this house names the outlet."""
    with pytest.raises(BriefError, match="outlet 'bath' has level_m 300"):
        grown(BATH | {"level_m": 300.0})
