"""Surveyed points: what their codes say, which line they belong to, and which can't be used."""

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from staked_ground import straight
from surveyed_ground import CREST, FLOOR, crew, designed, designed_ring, shot, together

from swalekit.contours.line import LevelLine
from swalekit.errors import InputError
from swalekit.hydrology.losses.curve_number import CurveNumberLoss
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.stores import Stores
from swalekit.section.laid_swale import LaidSwale
from swalekit.verification.as_built import SurveyRules
from swalekit.verification.assignment import assign_points, nearest_place
from swalekit.verification.codes import PART_WORDS, code_words, read_code
from swalekit.verification.survey_check import check_survey, held_storms

RULES = SurveyRules()
S1, S2, S12 = (designed(straight(name=f"S{k}", number=k, north_m=-25.0 * n)) for n, k in enumerate((1, 2, 12)))


@pytest.mark.parametrize(
    ("code", "swales", "parts"),
    [
        ("S2 floor", (1,), ("floor",)),
        ("s2-FLOOR", (1,), ("floor",)),
        ("S2FL", (1,), ("floor",)),
        ("FL12", (), ("floor",)),
        ("crest S 12 34.5", (2,), ("crest",)),
        ("Top", (), ("crest",)),
        ("sill crest", (), ("sill",)),
        ("SPILLWAY_BOTTOM", (), ("sill",)),
        ("S22 crest", (), ("crest",)),
        ("S2 toe", (1,), ()),
        ("floor top", (), ("floor", "crest")),
        ("S1 S2 floor", (0, 1), ("floor",)),
        ("", (), ()),
    ],
)
def test_codes_are_read_with_tolerance(code, swales, parts):
    """Case, blanks, hyphens and other numbers don't matter; the name of a swale is not found in a longer one."""
    read = read_code(code, [code_words(swale.id) for swale in (S1, S2, S12)])
    assert (read.swales, read.parts) == (swales, parts)


def test_each_word_means_one_part():
    """No word stands for two parts, and each is found as one run of letters."""
    words = [word for group in PART_WORDS.values() for word in group]
    assert len(set(words)) == len(words)
    assert all(code_words(word) == (word,) for word in words)


def test_point_without_a_swale_in_its_code_goes_to_the_nearest_line():
    """A code that names the swale goes before nearness."""
    place = {"first": 1, "code": "floor"}
    points = together(shot(S1, "floor", [10.0], FLOOR, **place), shot(S2, "floor", [10.0], FLOOR, **place))
    assert assign_points(points, [S1, S2], rules=RULES).swale.tolist() == [0, 1]
    near = designed(straight(name="S9", number=9, north_m=-4.0))
    coded = shot(S1, "floor", [10.0, 12.0], FLOOR, code="S9 floor")
    assert assign_points(coded, [S1, near], rules=RULES).swale.tolist() == [1, 1]


def test_chainage_is_that_of_the_foot_on_the_line():
    """On the plane it is the easting, on the ring the way round."""
    along = np.array([0.5, 13.7, 55.5, 100.0])
    assert assign_points(shot(S1, "crest", along, CREST), [S1], rules=RULES).chainage_m == pytest.approx(along)
    ring = designed_ring()
    found = assign_points(shot(ring, "floor", along, FLOOR), [ring], rules=RULES).chainage_m
    assert found == pytest.approx(along, abs=1e-6)


def test_nearest_line_is_that_of_a_look_at_every_leg():
    """A slow search over all legs finds the same distance and chainage."""
    rng = np.random.default_rng(4)
    lines = []
    for closed in (False, True, False):
        xy = np.cumsum(rng.uniform(-2.0, 3.0, (30, 2)), axis=0)
        lines.append(LevelLine(1.0, closed, xy, np.ones(30), np.full(30, 0.1)))
    points = rng.uniform(-20.0, 60.0, (200, 2))
    line, chainage_m, distance_m = nearest_place(lines, points)
    for k, point in enumerate(points):
        best = (np.inf, 0, 0.0)
        for place, candidate in enumerate(lines):
            path = np.vstack([candidate.xy, candidate.xy[:1]]) if candidate.closed else candidate.xy
            walked = 0.0
            for start, stop in pairwise(path):
                length = np.hypot(*(stop - start))
                along = float(np.clip((point - start) @ (stop - start) / length, 0.0, length))
                away = np.hypot(*(point - start - (stop - start) * along / length))
                best = min(best, (away, place, walked + along))
                walked += length
        assert (distance_m[k], line[k]) == (pytest.approx(best[0]), best[1])
        assert chainage_m[k] == pytest.approx(best[2], abs=1e-6)


@pytest.mark.parametrize(
    ("change", "reason"),
    [
        ({"description": ("toe",)}, "names none of floor, crest, sill"),
        ({"description": ("floor/crest",)}, "names floor and crest"),
        ({"description": ("S1 S2 floor",)}, "names S1 and S2"),
        ({"height_m": np.array([np.nan])}, "no height"),
        ({"easting_m": np.array([np.nan])}, "no place"),
        ({"description": ("floor",), "northing_m": np.array([3_999_952.0])}, "12.0 m from S1, farther than 5.0 m"),
        ({"description": ("S2 floor",)}, "25.0 m from S2, farther than 5.0 m"),
    ],
)
def test_point_that_matches_nothing_is_listed_with_the_reason(change, reason):
    """Number, place and code stay with it, and it is in no profile."""
    odd = replace(shot(S1, "floor", [50.0], FLOOR), **change)
    check = check_survey(together(crew(S1), odd), [S1, S2])
    (unmatched,) = check.unmatched
    assert unmatched.number == crew(S1).number.size + 1
    assert (unmatched.code, unmatched.easting_m) == (odd.description[0], pytest.approx(odd.easting_m[0], nan_ok=True))
    assert reason in unmatched.reason
    assert sum(part.count for part in check.swales[0].parts.values()) == crew(S1).number.size


def test_crest_of_a_wide_berm_is_near_enough():
    """The berm's toe counts as near however far it is."""
    narrow = SurveyRules(within_m=0.5)
    assert not assign_points(crew(S1), [S1], rules=narrow).unmatched


def test_swapped_axes_are_one_clear_error():
    """None of the points lies on the site, but most do with easting and northing swapped."""
    points = crew(S1)
    swapped = replace(points, easting_m=points.northing_m, northing_m=points.easting_m)
    with pytest.raises(InputError, match=r"no surveyed point lies on the site, .* but 1\d\d of 1\d\d do with the two"):
        check_survey(swapped, [S1])


def test_points_of_another_place_are_listed():
    """Swapped or not they are elsewhere."""
    points = replace(crew(S1), easting_m=crew(S1).easting_m + 5000.0)
    check = check_survey(points, [S1])
    assert len(check.unmatched) == points.number.size
    assert "m from S1" in check.unmatched[0].reason


def test_layouts_that_can_t_be_checked_fail():
    """No swale at all, or two of one name."""
    with pytest.raises(InputError, match="there is no swale to check"):
        check_survey(crew(S1), [])
    with pytest.raises(InputError, match="two swales are called 'S1'"):
        check_survey(crew(S1), [S1, S1])


def test_sill_off_the_line_fails():
    """A designed swale is checked when it is made."""
    with pytest.raises(InputError, match="sill_chainage_m is 101"):
        LaidSwale("S1", 1, S1.line, S1.shape, 101.0, 4.0)


def test_no_points_at_all():
    """Then nothing is surveyed."""
    empty = shot(S1, "floor", [], [])
    assert check_survey(empty, [S1]).swales[0].verdict == "not surveyed"


def test_held_storm_as_built_by_hand():
    """Runoff coefficient of a curve number 100: every mm runs off, so capacities over areas are the storms."""
    stores = Stores(np.full((3, 1), 1000.0), np.zeros(3), np.array([1, -1, -1], np.int32))
    soil = Soil((CurveNumberLoss(100.0),))
    held = held_storms(stores, np.array([30.0, 50.0, 20.0]), np.array([20.0, np.nan, 10.0]), soil)
    assert held.designed_mm == pytest.approx([30.0, 40.0, 20.0], abs=0.01)
    assert held.built_mm == pytest.approx([20.0, 35.0, 10.0], abs=0.01)
    assert held.assumed.tolist() == [False, True, False]
    flagged = held_storms(stores, np.array([30.0, 50.0, 20.0]), np.array([np.nan, 50.0, 20.0]), soil)
    assert flagged.assumed.tolist() == [True, True, False]
