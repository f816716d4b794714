"""The search for the best option."""

from functools import partial

import numpy as np
import pytest
from sites import hills, make_site, plane

from swalekit.design.options.comparison import compare, search
from swalekit.design.options.grid_search import search_grid
from swalekit.design.options.limits import Limits
from swalekit.design.options.option import Option
from swalekit.design.options.ranks import rank_of
from swalekit.design.options.variations import axes_of, grid_of
from swalekit.hydrology.losses.curve_number import runoff_mm
from swalekit.reporting.words.option_words import option_sentences
from swalekit.section.even_slope import matched_spacing_m, metre_of_swale
from swalekit.section.section import Section

PRICED = {"machine_per_h": 60.0, "swale_per_m": 2.0, "currency": "EUR"}
GRID = {"spacing": [12.0, 18.0, 24.0, 30.0], "bottom_width": [0.5, 0.8, 1.1], "depth": [0.4, 0.6, 0.8]}


class Landscape:
    """Options of a made-up price on a grid, and which were asked for."""

    def __init__(self, price) -> None:
        self.price, self.asked = price, {}

    def lay(self, wanted):
        """Options of choices, priced by their values."""
        for choices in wanted:
            price = self.price(*(each.value for each in choices))
            self.asked.setdefault(choices, Option(len(self.asked) + 1, "", {}, {"dug_m3": price}, holds=True))
        return [self.asked[choices] for choices in wanted]


def score(option: Option) -> tuple[float, ...]:
    """The price, then the order."""
    return option.amount("dug_m3"), option.number


@pytest.mark.parametrize("by_volume", [False, True])
@pytest.mark.parametrize("limits", [Limits(), Limits(greatest_depth_m=0.45)])
def test_search_against_every_option(limits, by_volume):
    """On a plane it finds what laying out the whole grid finds, or a larger spacing that is better."""
    site, terrain, axes = make_site(rates=PRICED), plane(shape=(90, 80)), axes_of(GRID)
    whole = compare(site, terrain, grid_of(axes), limits=limits, by_volume=by_volume)
    found = search(site, terrain, axes, limits=limits, by_volume=by_volume)
    rank, best = partial(rank_of, by_volume=by_volume), rank_of(whole.recommended, by_volume=by_volume)
    listed = [o for o in found.options if o.chosen["spacing_m"] in GRID["spacing"] and o.holds and not o.beyond]
    assert min(rank(option) for option in listed) == best
    assert rank(found.recommended) <= best
    assert found.asked == 36


def test_search_finds_the_known_best_on_a_plane():
    """With ditches of one depth the fewest lines cost least, as far apart as the topmost can be.

    That one catches its own works below the ground above it, so that the spacing by hand is too wide by them.
    """
    site = make_site(
        section={"greatest_depth_m": 0.4, "least_depth_m": 0.4, "greatest_bottom_width_m": 0.6}, rates=PRICED
    )
    swale, terrain = metre_of_swale(0.1, Section(), depth_m=0.4), plane(shape=(200, 300))
    by_hand_m = matched_spacing_m(swale, rain_mm=50.0, runoff_mm=float(runoff_mm(50.0, 80.0)))
    widest_m = by_hand_m - swale.catch_m2
    found = search(site, terrain, axes_of({"spacing": [10.0, 20.0, 40.0, 80.0]}))
    assert found.recommended.totals["swales"] == min(o.totals["swales"] for o in found.options if o.holds)
    assert 0.9 * widest_m <= found.recommended.chosen["spacing_m"] <= by_hand_m
    assert all(not o.holds for o in found.options if o.chosen["spacing_m"] > by_hand_m)


@pytest.mark.parametrize("seed", [1, 2])
def test_same_seed_tries_the_same_options(seed):
    """In the same order, on rough ground too."""
    axes = axes_of({"spacing": [12.0, 20.0], "depth": [0.5, 0.8]})
    one, other = (search(make_site(), hills(side=64), axes, seed=seed) for _ in range(2))
    assert [option.figures for option in one.options] == [option.figures for option in other.options]
    assert f"seed {seed}) tried {len(one.options)} designs" in option_sentences(one)[0]


def test_search_of_a_bowl_tries_few():
    """A price that falls toward one place of a grid of 10 000 is found by less than a tenth of it."""
    axes = axes_of(
        {name: np.arange(1.0, 11.0).tolist() for name in ("start_level", "bottom_width", "depth", "freeboard")}
    )
    bowl = Landscape(lambda a, b, c, d: (a - 7) ** 2 + (b - 3) ** 2 + (c - 9) ** 2 + abs(d - 1) + 0.2 * a * b)
    best = search_grid(axes, bowl.lay, score, seed=1)
    prices = [
        bowl.price(a, b, c, d) for a in range(1, 11) for b in range(1, 11) for c in range(1, 11) for d in range(1, 11)
    ]
    assert best.amount("dug_m3") == pytest.approx(min(prices))
    assert len(bowl.asked) < 1000


def test_two_changes_at_once_leave_a_dead_end():
    """Where width and depth must agree, each change alone makes it dearer; the best is found by changing both."""
    axes = axes_of({name: np.arange(1.0, 11.0).tolist() for name in ("bottom_width", "depth", "freeboard")})
    ridge = Landscape(lambda width, depth, freeboard: 50.0 * (width != depth) + 20.0 - width + freeboard)
    assert search_grid(axes, ridge.lay, score, seed=2).amount("dug_m3") == 11.0
    assert len(ridge.asked) < 500


def test_gap_above_the_best_spacing_is_halved():
    """A price that falls until 26 m and then jumps is followed to within a thirty-second of the gap."""
    axes = axes_of({"spacing": [10.0, 20.0, 40.0]})
    step = Landscape(lambda spacing: 100.0 - spacing if spacing <= 26.0 else 1000.0)
    best = search_grid(axes, step.lay, score, seed=1)
    assert 26.0 - 20.0 / 32 <= 100.0 - best.amount("dug_m3") <= 26.0


def test_search_that_can_meet_no_limit_says_which():
    """It comes as near as it can, and the words name the limit."""
    axes = axes_of({"spacing": [12.0, 20.0], "depth": [0.5, 0.8]})
    found = search(make_site(rates=PRICED), plane(shape=(60, 60)), axes, limits=Limits(budget=50.0))
    assert found.recommended is None
    assert "the budget of 50" in option_sentences(found)[1]
