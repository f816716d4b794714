"""Options as a grid: what is varied, what stands out, limits, and the same on any number of processes."""

from dataclasses import replace

import numpy as np
import pytest
from sites import hills, make_site, plane

from swalekit.design.options import comparison as options_module
from swalekit.design.options.comparison import compare
from swalekit.design.options.limits import Limits, bars_all
from swalekit.design.options.option import Option
from swalekit.design.options.ranks import MOST_KEPT, marked, non_dominated, with_lines_kept
from swalekit.design.options.variations import VARIED, Choice, Variation, axes_of, grid_of, variation_of
from swalekit.design.options.workers import worker_count
from swalekit.errors import BriefError, InputError
from swalekit.reporting.charts.options.comparison import comparison_sheet
from swalekit.reporting.charts.options.maps import option_maps
from swalekit.reporting.words.option_words import option_sentences
from swalekit.results.options.write import option_layers

PRICED = {"machine_per_h": 60.0, "swale_per_m": 2.0, "currency": "EUR"}


def option(
    number: int, dug_m3: float, held_mm: float, cost: float, *, strip_m2=0.0, kept_share=0.5, holds=True
) -> Option:
    """An option of so much soil and storm, without lines."""
    totals = {
        "swales": 1, "dug_m3": dug_m3, "held_storm_mm": held_mm, "cost": cost, "strip_m2": strip_m2,
        "kept_share": kept_share,
    }  # fmt: skip
    return Option(number, f"option {number}", {}, totals, holds=holds)


@pytest.fixture(scope="module")
def small_grid():
    """Two spacings, two bottoms and two depths on a plane."""
    axes = axes_of({"spacing": [12.0, 24.0], "bottom_width": [0.5, 1.0], "depth": [0.4, 0.8]})
    return compare(make_site(rates=PRICED), plane(shape=(90, 80)), grid_of(axes))


def test_grid_is_every_combination(small_grid):
    """Eight options, each with its own values, in the order of the axes."""
    chosen = [
        (o.chosen["spacing_m"], o.chosen["bottom_width_m"], o.chosen["greatest_depth_m"]) for o in small_grid.options
    ]
    assert chosen == [(s, b, d) for s in (12.0, 24.0) for b in (0.5, 1.0) for d in (0.4, 0.8)]
    assert [option.number for option in small_grid.options] == list(range(1, 9))


def test_everything_that_varies_reaches_the_brief():
    """Each name of `VARIED` sets its keys, and none another's."""
    values = {"rule": "ramser", "matched": True}
    for name, varied in VARIED.items():
        value = values.get(name, 0.7)
        assert variation_of([Choice(name, value)]).values == dict.fromkeys(varied.keys, value)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        ({}, "empty"),
        ({"spacing": []}, "empty"),
        ({"spacing": [20.0, 20.0]}, "'spacing 20 m' is listed twice"),
        ({"colour": [1.0]}, "can't vary 'colour'"),
    ],
)
def test_axes_that_make_no_grid(asked, words):
    """Nothing to vary, a value twice, an unknown name."""
    with pytest.raises(InputError, match=words):
        axes_of(asked)


def test_grid_too_large_is_refused():
    """The number of combinations is told."""
    axes = axes_of({"spacing": np.arange(1.0, 60.0).tolist(), "depth": np.arange(0.4, 1.0, 0.01).tolist()})
    with pytest.raises(InputError, match="3,540 options"):
        grid_of(axes)


@pytest.mark.parametrize(
    ("values", "error", "words"),
    [
        ({"levels": {"interval_m": 0.0}}, BriefError, r"\[levels\] interval_m"),
        ({"section": {"freeboard_m": 0.05}}, BriefError, "head_m"),
        ({"levels": {"rule": "ramzer"}}, BriefError, "near it are ramser"),
        ({"levels": {"rule": "cox"}}, BriefError, "cox scanty poor, cox scanty mixed"),
        ({"levels": {"spacing_m": 9.0, "matched_depth_m": 0.5}}, BriefError, "goes with matched"),
    ],
)
def test_a_value_that_breaks_a_rule_is_told_before_any_work(monkeypatch, values, error, words):
    """In one line, and nothing is laid out."""
    monkeypatch.setattr(options_module, "study_ground", None)
    with pytest.raises(error, match=words):
        compare(make_site(), plane(), [Variation("odd", values)])


def test_what_would_change_the_ground_is_refused():
    """The ground is studied once for one storm and one soil."""
    with pytest.raises(InputError, match=r"varies \[storm\]"):
        Variation("more rain", {"storm": {"depth_mm": 80.0}})


def test_non_dominated_by_hand():
    """Of seven options three are dominated: by all of it less, by one of it less, and for want of a swale."""
    options = [
        option(1, 100.0, 50.0, 10.0),
        option(2, 110.0, 50.0, 10.0),  # digs more than the first
        option(3, 110.0, 60.0, 11.0),
        option(4, 120.0, 59.0, 12.0),  # worse than the third throughout
        option(5, 120.0, 60.0, 12.0, strip_m2=-1.0),
        replace(
            option(6, 0.0, 0.0, 0.0),
            totals={"swales": 0, "dug_m3": 0.0, "held_storm_mm": 0.0, "cost": None, "strip_m2": 0, "kept_share": 0.0},
        ),
        option(7, 120.0, 50.0, 12.0, kept_share=0.8),  # dear, but it keeps more of the rain
    ]
    assert non_dominated(options).tolist() == [True, False, True, False, True, False, True]


def test_dominated_options_are_dominated_by_one_that_is_not(small_grid):
    """By their written figures, as a reader would check them."""
    names = ("dug_m3", "cost", "strip_m2", "held_storm_mm", "kept_share")
    more_is_better = ("held_storm_mm", "kept_share")
    rows = [
        [option.figures[name] * (-1 if name in more_is_better else 1) for name in names]
        for option in small_grid.options
    ]
    front = [row for row, each in zip(rows, small_grid.options, strict=True) if each.non_dominated]
    for row, each in zip(rows, small_grid.options, strict=True):
        better = [other for other in front if other != row and all(a <= b for a, b in zip(other, row, strict=True))]
        assert bool(better) != each.non_dominated
    assert small_grid.recommended in small_grid.options
    assert small_grid.recommended.non_dominated


def test_lines_of_many_options_are_kept_for_a_few():
    """The cheapest, the recommended and others of the front, spread over what they hold; the rest let theirs go."""
    line = (object(),)
    many = [replace(option(n, 100.0 + n, 40.0 + n, 10.0 + n, holds=n > 20), lines=line) for n in range(1, 61)]
    kept = with_lines_kept(marked(many))
    numbers = [option.number for option in kept if option.lines]
    assert len(numbers) == MOST_KEPT
    assert {1, 21, 60} <= set(numbers)
    assert np.diff([each for each in numbers if each > 20]).max() <= 6  # most are of those that hold


def test_lines_are_kept_by_what_the_cheapest_has_least_of():
    """Of two that keep as much water one costs less, the other digs less: the one asked for keeps its lines."""
    line = (object(),)
    cheap = [option(n, 300.0 + n, 60.0, 10.0 + n, kept_share=0.3 + 0.01 * n) for n in range(1, 31)]
    small = [option(30 + n, 100.0 + n, 60.0, 90.0 + n, kept_share=0.3 + 0.01 * n) for n in range(1, 31)]
    many = [replace(each, lines=line) for each in (*cheap, *small)]
    for by_volume, best, numbers in ((False, 1, range(1, 31)), (True, 31, range(31, 61))):
        kept = with_lines_kept(marked(many, by_volume=by_volume), by_volume=by_volume)
        assert [option.number for option in kept if option.cheapest] == [best]
        assert {option.number for option in kept if option.lines} < set(numbers)
        assert sum(bool(option.lines) for option in kept) == MOST_KEPT


@pytest.mark.parametrize(
    ("limits", "barring"),
    [
        (Limits(budget=10.0), ("budget",)),
        (Limits(greatest_depth_m=0.1), ("greatest depth",)),
        (Limits(length_a_day_m=1.0, days=2.0), ("length a day",)),
        (Limits(slopes=(0.3, 0.4)), ("design storm", "slope window")),
        (Limits(least_kept_share=1.0), ("water kept",)),
        (Limits(budget=1e6, greatest_depth_m=5.0), ()),
    ],
)
def test_a_limit_that_bars_every_option_is_named(limits, barring):
    """No option is recommended, and the words say which limit it is."""
    axes = axes_of({"spacing": [12.0, 20.0]})
    comparison = compare(make_site(rates=PRICED), plane(shape=(60, 60)), grid_of(axes), limits=limits)
    assert bars_all(comparison.options) == barring
    assert (comparison.recommended is None) == bool(barring)
    for name in barring:
        assert name in option_sentences(comparison)[1]


def test_the_recommended_option_keeps_the_least_share_asked_for():
    """A least share passes over what keeps less, however good for its price."""
    site, terrain = make_site(rates=PRICED), plane(shape=(90, 80))
    axes = axes_of({"spacing": [12.0, 24.0, 80.0], "start_level": [float(terrain.heights.max()) - 1.0]})
    free = compare(site, terrain, grid_of(axes))
    most = max(free.options, key=lambda each: each.amount("kept_share"))
    assert all(option.holds for option in free.options)
    assert free.recommended.number != most.number
    asked = compare(site, terrain, grid_of(axes), limits=Limits(least_kept_share=most.amount("kept_share")))
    assert asked.recommended.number == most.number
    with pytest.raises(InputError, match=r"least_kept_share is 1\.2"):
        Limits(least_kept_share=1.2)


def test_limits_that_each_is_met_by_another_option():
    """A budget that only the cheaper keeps, and a storm that only the dearer holds: both are met, but not by one."""
    axes = axes_of({"spacing": [12.0, 40.0]})
    site, terrain = (
        make_site(rates=PRICED, section={"greatest_depth_m": 0.35, "greatest_bottom_width_m": 0.6}),
        plane(shape=(90, 80)),
    )
    free = compare(site, terrain, grid_of(axes))
    assert [option.holds for option in free.options] == [True, False]
    budget = free.options[0].amount("cost") - 1.0
    barred = compare(site, terrain, grid_of(axes), limits=Limits(budget=budget))
    assert barred.recommended is None
    assert bars_all(barred.options) == ()
    assert "each limit is met by some" in option_sentences(barred)[1]


@pytest.mark.parametrize(
    ("given", "words"),
    [({"budget": 0.0}, "budget"), ({"days": 3.0}, "go together"), ({"length_a_day_m": 30.0}, "go together")],
)
def test_limits_that_are_none(given, words):
    """Not positive, or half given."""
    with pytest.raises(InputError, match=words):
        Limits(**given)


@pytest.mark.parametrize(
    ("limits", "words"), [(Limits(budget=100.0), "needs prices"), (Limits(slopes=(0.2, 0.1)), "least_slope 0.2")]
)
def test_limits_that_contradict_the_brief(limits, words):
    """A budget without a price, a window upside down."""
    with pytest.raises(InputError, match=words):
        compare(make_site(), plane(), grid_of(axes_of({"spacing": [20.0]})), limits=limits)


@pytest.mark.compiled
@pytest.mark.parametrize("kept_m", [(), (14.0, 25.0)])
def test_processes_do_not_change_the_result(kept_m):
    """Figures, lines and order are the same in one process and in two, spacings matched or given."""
    site, terrain = make_site(rates=PRICED), hills(3, side=128)
    axes = axes_of({"spacing": kept_m, "matched": [True], "depth": [0.5, 0.8]})
    alone, shared = (compare(site, terrain, grid_of(axes), workers=count) for count in (1, 2))
    assert [option.figures for option in alone.options] == [option.figures for option in shared.options]
    for one, other in zip(alone.options, shared.options, strict=True):
        assert [line.xy.tobytes() for line in one.lines] == [line.xy.tobytes() for line in other.lines]


@pytest.mark.parametrize("way", ["spacing", "matched"])
def test_lines_used_again_are_those_of_the_option_alone(way):
    """Laid after another with the same levels, an option is what it is by itself; matched lines follow the section."""
    site, terrain = make_site(), plane(shape=(90, 80))
    grid = grid_of(axes_of({way: [14.0] if way == "spacing" else [True], "depth": [0.35, 0.5], "bottom_width": [0.5]}))
    together = compare(site, terrain, grid).options
    alone = [compare(site, terrain, [each]).options[0] for each in grid]
    for one, other in zip(together, alone, strict=True):
        assert one.totals == other.totals
        assert [line.level_m for line in one.lines] == [line.level_m for line in other.lines]
    same = [line.level_m for line in together[0].lines] == [line.level_m for line in together[1].lines]
    assert same == (way == "spacing")


def test_an_error_in_a_process_names_the_option():
    """It comes back as the error it is."""
    variations = grid_of(axes_of({"spacing": [12.0], "start_level": [90.0]}))
    matched = [Variation(each.words, {"levels": {"matched": True, "start_m": 90.0}}) for each in variations]
    with pytest.raises(InputError, match=r"option 'spacing 12 m, start 90 m': start_m is 90"):
        compare(make_site(), plane(shape=(40, 40)), matched, workers=2)


def test_workers_follow_the_work():
    """One process for little work, all cores for much, never more than options; as asked otherwise."""
    assert worker_count(None, n_options=3, n_cells=10_000) == 1
    assert worker_count(None, n_options=1, n_cells=10**9) == 1
    assert worker_count(5, n_options=1, n_cells=1) == 5
    with pytest.raises(InputError, match="workers"):
        worker_count(0, n_options=1, n_cells=1)


def test_an_interrupt_leaves_what_is_done():
    """After two of three options there are two, whole, and the words say so; before the first it goes through."""
    variations = grid_of(axes_of({"spacing": [12.0, 16.0, 20.0]}))

    def compare_until(word: str):
        def stage(told: str) -> None:
            if word in told:
                raise KeyboardInterrupt

        return compare(make_site(), plane(shape=(60, 60)), variations, stage=stage)

    stopped = compare_until("2 of 3")
    assert (stopped.stopped, len(stopped.options), stopped.asked) == (True, 2, 3)
    assert stopped.recommended is not None
    assert "stopped when 2 of 3" in option_sentences(stopped)[0]
    with pytest.raises(KeyboardInterrupt):
        compare_until("routing")


def test_lines_of_kept_options_are_layers(small_grid):
    """A line a swale and a feature an option, in the CRS of the terrain, of the lengths in the table."""
    layers = option_layers(small_grid)
    assert layers["swales"].crs == small_grid.terrain.grid.crs
    assert layers["options"]["number"].tolist() == [option.number for option in small_grid.kept]
    for option in small_grid.options:
        of_option = layers["swales"][layers["swales"]["number"] == option.number]
        assert of_option.length.sum() == pytest.approx(option.figures["length_m"], abs=0.1)


def test_maps_show_every_set_of_lines_once(small_grid):
    """A map for all options with the same lines, whose caption names them; the recommended has the frame."""
    maps = option_maps(small_grid).axes
    kept = [tuple(line.xy.tobytes() for line in option.lines) for option in small_grid.kept]
    assert len(maps) == len(set(kept)) < len(kept)
    words = [" ".join(text.get_text() for text in axes.texts) for axes in maps]
    assert sum("same lines" in each for each in words) == sum(kept.count(lines) > 1 for lines in set(kept))
    widths = [axes.spines["top"].get_linewidth() for axes in maps]
    best = small_grid.recommended
    assert widths.index(max(widths)) == next(
        n for n, each in enumerate(words) if f"{best.number} {best.label[:12]}" in each
    )


def test_chart_of_many_options_names_those_that_stand_out():
    """Of fifteen options a key lists the kept ones; beside the marks stand only their numbers."""
    axes = axes_of({"spacing": [12.0, 16.0, 20.0, 24.0, 28.0], "bottom_width": [0.5, 0.7, 0.9]})
    comparison = compare(make_site(rates=PRICED), plane(shape=(60, 60)), grid_of(axes))
    chart, key, trade_off = comparison_sheet(comparison).axes
    kept = {str(option.number) for option in comparison.kept}
    assert {text.get_text() for text in chart.texts} == kept | {"design storm 50 mm"}
    assert kept <= {text.get_text() for text in key.texts}
    assert {text.get_text() for text in trade_off.texts} <= kept
    assert (trade_off.get_xlabel(), trade_off.get_ylabel()) == ("Cost [EUR]", "Water kept on the site [%]")
