"""Which option is recommended: price against the share of the water kept."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sites import make_site, plane

from swalekit.design.options.comparison import Comparison, compare, search
from swalekit.design.options.limits import Limits
from swalekit.design.options.option import Option
from swalekit.design.options.ranks import marked, rank_of
from swalekit.design.options.variations import VARIED, axes_of, grid_of
from swalekit.reporting.charts.options.comparison import comparison_sheet
from swalekit.reporting.words.option_words import comparison_summary, option_sentences

PRICED = {"machine_per_h": 60.0, "swale_per_m": 2.0, "currency": "EUR"}
LOSSES = ("dug_m3", "cost", "strip_m2")
GAINS = ("held_storm_mm", "kept_share")


def option(number: int, cost: float | None, kept_share: float, *, dug_m3=100.0, held_mm=60.0, strip_m2=0.0) -> Option:
    """An option that holds the storm, at some price for some share of the water."""
    totals = dict.fromkeys(("swales", "length_m", "machine_h", "held_m3", "spill_m3"), 1) | {
        "dug_m3": dug_m3, "held_storm_mm": held_mm, "cost": cost, "strip_m2": strip_m2, "kept_share": kept_share,
    }  # fmt: skip
    chosen = dict.fromkeys(key.partition(".")[2] for varied in VARIED.values() for key in varied.keys)
    return Option(number, f"option {number}", chosen, totals, holds=True)


def recommended(*options: Option, by_volume: bool = False) -> int:
    """Number of the only one that is recommended."""
    (best,) = [made.number for made in marked(options, by_volume=by_volume) if made.recommended]
    return best


def compared(*options: Option, by_volume: bool = False) -> Comparison:
    """Made options as a comparison."""
    terrain = plane()
    return Comparison(
        make_site(), terrain, marked(options, by_volume=by_volume), len(options), Limits(), by_volume=by_volume
    )


def test_a_few_lines_that_catch_little_are_passed_over():
    """The cheapest keeps a fifth of the water; four fifths at the same price per m³ are better, and words say so."""
    comparison = compared(option(1, 1000.0, 0.2), option(2, 4000.0, 0.8))
    assert comparison.recommended.number == 2
    assert [made.cheapest for made in comparison.options] == [True, False]
    _, why, cautions, rule = option_sentences(comparison)
    assert cautions == "Its swales raise no caution."
    assert "it holds 60.0 mm and keeps 80 % of the water" in why
    assert "option 1 is the cheapest, at 1,000, and keeps 20 %" in why
    assert "cost / (share of the water kept)^1.25: keeping 1 % more of the water may cost 1.25 % more" in rule
    assert rule in comparison_summary(comparison)["says"]
    assert " ".join(text.get_text() for text in comparison_sheet(comparison).texts).endswith(rule)


def test_more_water_that_is_ten_times_as_dear_is_not_worth_it():
    """Ten times the price per m³: the cheapest stays recommended, and the other is named."""
    comparison = compared(option(1, 1000.0, 0.2), option(2, 40_000.0, 0.8))
    assert comparison.recommended.number == 1
    assert "it is the cheapest, at 1,000 against up to 40,000" in option_sentences(comparison)[1]
    assert "option 2 keeps 80 %, at 40,000" in option_sentences(comparison)[1]


@pytest.mark.parametrize("kept_share", [0.1, 0.5])
@pytest.mark.parametrize(("per_cent_dearer", "best"), [(1.2, 2), (1.3, 1)])
def test_one_per_cent_more_may_cost_a_quarter_more_than_one(kept_share, per_cent_dearer, best):
    """To either side of 1.25 %, whatever the share that is kept already."""
    dearer = 1000.0 * (1.0 + per_cent_dearer / 100)
    assert recommended(option(1, 1000.0, kept_share), option(2, dearer, 1.01 * kept_share)) == best


def test_ties_are_broken_by_figures_not_by_order():
    """Of two of one price and share that which digs less; where a price is nought, that which keeps more."""
    more, less = option(1, 500.0, 0.5, dug_m3=90.0), option(2, 500.0, 0.5, dug_m3=80.0)
    assert recommended(more, less) == recommended(less, more) == 2
    assert recommended(option(1, 0.0, 0.3), option(2, 0.0, 0.6)) == 2
    assert recommended(option(1, 500.0, 0.0), option(2, 400.0, 0.0)) == recommended(option(2, 400.0, 0.0)) == 2


def test_without_a_price_the_volume_dug_stands_for_it():
    """By the same rule; the summary says what is counted, and so it does where the volume is asked for."""
    options = [option(1, None, 0.2, dug_m3=100.0), option(2, None, 0.8, dug_m3=400.0)]
    comparison = compared(*options)
    assert comparison.recommended.number == 2
    assert comparison_summary(comparison)["chosen_by"] == "dug volume"
    assert "volume dug / (share of the water kept)^1.25" in option_sentences(comparison)[-1]
    priced = [replace(made, totals={**made.totals, "cost": 10.0 ** (5 * made.number)}) for made in options]
    assert comparison_summary(compared(*priced))["chosen_by"] == "cost"
    assert (recommended(*priced), recommended(*priced, by_volume=True)) == (1, 2)
    assert comparison_summary(compared(*priced, by_volume=True))["chosen_by"] == "dug volume"


def test_what_is_out_of_limits_or_spills_is_not_recommended():
    """However much it keeps for its price."""
    good = option(1, 1000.0, 0.5)
    best = option(2, 10.0, 0.9)
    assert recommended(good, replace(best, holds=False)) == 1
    assert recommended(good, replace(best, beyond=("budget",))) == 1


made_options = st.lists(
    st.tuples(
        st.floats(0.0, 1e4), st.integers(0, 1000), st.floats(1.0, 1e4), st.floats(0.0, 500.0), st.floats(0.0, 1e3)
    ),
    min_size=1,
    max_size=12,
)


@given(made_options, st.booleans())
def test_the_recommended_option_is_never_dominated(figures, by_volume):
    """Nor is another in its place in another order, or once those that are dominated are left out."""
    options = [
        option(number, cost, per_mille / 1000, dug_m3=dug, held_mm=held, strip_m2=strip)
        for number, (cost, per_mille, dug, held, strip) in enumerate(figures)
    ]
    (best,) = [made for made in marked(options, by_volume=by_volume) if made.recommended]
    for other in options:
        better = [other.amount(name) - best.amount(name) for name in GAINS]
        better += [best.amount(name) - other.amount(name) for name in LOSSES]
        assert min(better) < 0.0 or max(better) <= 0.0
    front = [made for made in marked(options, by_volume=by_volume) if made.non_dominated]
    for fewer in (options[::-1], front):
        (again,) = [made for made in marked(fewer, by_volume=by_volume) if made.recommended]
        assert again.totals == best.totals


@pytest.mark.parametrize("by_volume", [False, True])
def test_search_recommends_what_comparing_recommends(by_volume):
    """Of those on the grid that it tried; one that it finds between two listed spacings has the better rank."""
    site, terrain = make_site(rates=PRICED), plane(shape=(90, 80))
    listed = {
        "spacing": [12.0, 24.0, 80.0], "start_level": [float(terrain.heights.max()) - 1.0], "bottom_width": [0.5, 1.0]
    }  # fmt: skip
    found = search(site, terrain, axes_of(listed), by_volume=by_volume)
    whole = compare(site, terrain, grid_of(axes_of(listed)), by_volume=by_volume)
    on_grid = marked([o for o in found.options if o.chosen["spacing_m"] in listed["spacing"]], by_volume=by_volume)
    (best,) = [made for made in on_grid if made.recommended]
    assert best.label == whole.recommended.label
    assert not best.cheapest
    assert rank_of(found.recommended, by_volume=by_volume) <= rank_of(best, by_volume=by_volume)
