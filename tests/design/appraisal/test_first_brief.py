"""A brief to begin with: what is told goes before what is guessed, and guesses say how the true value is found."""

import tomllib

import pytest

from swalekit.design.appraisal.answers import USUAL, Answers
from swalekit.design.appraisal.first_brief import first_brief, first_spacing, values_of
from swalekit.design.brief.values import check_brief
from swalekit.errors import InputError
from swalekit.formats.exchange.brief_toml import brief_toml
from swalekit.terrain.fitness import Fitness

TILE = {"terrain.file": "t.tif"}
GENTLE = Fitness(1.0, 0.0, 0.05, 0.05)


def settings(answers=None, found=GENTLE, **choices):
    """Settings of a brief."""
    return first_brief(answers or Answers(), found, files=TILE, site={"name": "North"}, **choices)


def test_what_is_told_is_no_guess():
    """All five answers leave the cover, the error of heights and the spacing."""
    told = Answers(60.0, "clay", 0.9, (), "grazing")
    guessed = {setting.key for setting in settings(told) if setting.guess and not setting.offered}
    assert guessed == {"vertical_sigma_m", "cover", "condition", "spacing_m"}
    values = values_of(settings(told))
    assert (values["storm.depth_mm"], values["section.bottom_width_m"], values["soil.group"]) == (60.0, 0.9, "D")
    assert values["section.berm_uphill_side_slope"] == 3.0


def test_every_guess_says_how_the_true_value_is_found():
    """In the words of the trade: a pit, a ring, a rain station, points on the ground."""
    notes = " ".join(setting.note for setting in settings(radius_m=1.5) if setting.guess)
    for words in (
        "pit",
        "ring",
        "weather service",
        "rain atlas",
        "30 points",
        "bare_ground.png",
        "Walk",
        "Ask who digs",
    ):
        assert words in notes


@pytest.mark.parametrize("purpose", ["trees", "grazing", "erosion"])
@pytest.mark.parametrize("texture", ["sand", "loam", "sandy clay loam", "clay"])
def test_any_answers_make_a_brief_that_checks(texture, purpose):
    """And erosion passes twice the storm."""
    brief = check_brief(values_of(settings(Answers(texture=texture, purpose=purpose))))
    assert brief.storm.check_depth_mm == (2.0 * USUAL.storm_mm if purpose == "erosion" else None)


@pytest.mark.parametrize(
    ("slope", "rule", "spacing_m"),
    [(0.02, "ramser", 40.0), (0.05, "ramser", 22.0), (0.10, "kenya", 13.5), (0.2, "fao hillside ditch", 13.0)],
)
def test_spacing_begins_with_a_rule_that_is_meant_for_the_slope(slope, rule, spacing_m):
    """Ramser's up to 6 %, FAO's from 12 %: VI = 0.1 S + 0.6 m in both, Kenya's 0.075 S + 0.6 m between."""
    first = first_spacing(Fitness(1.0, 0.0, slope, 0.05))
    assert (first.rule.name, first.spacing_m) == (rule, spacing_m)


def test_a_coarse_tile_widens_the_spacing():
    """Three cells of 10 m, or the error of a line's place, whichever is more; that is said."""
    assert first_spacing(Fitness(10.0, 0.0, 0.1, 0.1)).spacing_m == 30.0
    first = first_spacing(Fitness(10.0, 0.0, 0.1, 4.0))
    assert first.spacing_m == 40.0
    assert "widened to 40 m" in first.words
    assert first_spacing(Fitness(1.0, 0.0, 0.0012, 0.1)).spacing_m == 83.5
    assert first_spacing(Fitness(1.0, 0.0, 0.0, 0.1)).spacing_m == 70.0


@pytest.mark.parametrize(
    "wrong",
    [
        {"storm_mm": 0.0},
        {"texture": "mud"},
        {"bucket_m": 60.0},
        {"house": (137.0, 2.0)},
        {"purpose": "profit"},
        {"rain_year_mm": -1.0},
    ],
)
def test_answers_that_cannot_be_are_refused(wrong):
    """Named."""
    with pytest.raises(InputError, match=next(iter(wrong)).replace("house", "latitude")):
        Answers(**wrong)


def test_a_name_of_any_letters_makes_a_brief():
    """Quotes, backslashes and line ends are written as TOML wants them."""
    name = 'Peña "Alta"\\\n[terrain]\x07'
    text = brief_toml(first_brief(Answers(), GENTLE, files=TILE, site={"name": name}), head=["A\nB"])
    assert tomllib.loads(text)["site"]["name"] == name
