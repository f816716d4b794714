"""Options against the limits of their own brief, and the cautions that their plans would raise."""

from collections import Counter
from dataclasses import replace

import pytest
import shapely
from sites import hills, make_site, plane

from swalekit.contours.obstacles import KeepOut
from swalekit.design.options.comparison import compare
from swalekit.design.options.limits import CHECK_STORM, FILL, STANDING, excesses
from swalekit.design.options.variations import axes_of, grid_of
from swalekit.design.plan.cautions import FAILURE, is_curable
from swalekit.design.plan.lines_of import lines_of
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.table import totals
from swalekit.reporting.charts.options.comparison import comparison_sheet
from swalekit.reporting.words.option_words import broken_words, caution_words, option_sentences

PRICED = {"machine_per_h": 60.0, "mobilisation": 100.0, "currency": "EUR"}
CLAY = {"curve_number": 80.0, "intake_mm_h": 4.0}


def rough_site(**parts):
    """A site on hills, with a house in the middle, tight limits and a slow soil."""
    site = make_site(
        **{
            "soil": {**CLAY, "empty_within_h": 30.0},
            "section": {"greatest_bottom_width_m": 1.0, "greatest_fill_m": 2.0},
            "rates": PRICED,
        }
        | parts
    )
    house = KeepOut("building", shapely.box(500_045.0, 3_999_935.0, 500_053.0, 3_999_942.0), 6.0, "House")
    return replace(site, keep_outs=(house,))


@pytest.fixture(scope="module")
def comparison():
    """Two spacings on hills; each breaks some limit."""
    return compare(rough_site(), hills(), grid_of(axes_of({"interval": [2.0, 3.0], "depth": [0.6]})))


@pytest.mark.parametrize("number", [0, 1])
def test_an_option_has_the_cautions_and_figures_of_its_plan(comparison, number):
    """All but those of swales that fail in turn: names, counts, standing time, fill, berms overtopped, totals."""
    option = comparison.options[number]
    design = plan(
        comparison.site.with_values(
            {key: option.chosen[key.partition(".")[2]] for key in ("levels.interval_m", "section.greatest_depth_m")}
        ),
        comparison.terrain,
    )
    raised = Counter(caution.name for caution in design.cautions if caution.swale and caution.name != FAILURE)
    assert dict(option.cautions) == dict(raised)
    assert len(raised) >= 4
    assert option.to_cure + option.of_place == sum(raised.values())
    assert option.of_place == sum(count for name, count in raised.items() if not is_curable(name)) > 0
    assert option.standing_h == max(swale.routed.empty_after_h for swale in design.swales)
    assert option.fill_m == design.surface.greatest_fill_m.max()
    assert option.overtopped == tuple(swale.id for swale in design.swales if swale.routed.overtopped)
    reckoned = {"silt_m3_y": None}  # for plans alone
    assert option.totals | reckoned == totals(design) | reckoned
    assert option.cost_per_m3 == pytest.approx(totals(design)["cost"] / totals(design)["held_m3"])


def test_where_none_keeps_the_brief_the_nearest_is_told(comparison):
    """With what it breaks and by how much, in the sentence, the table and on the sheet."""
    assert comparison.recommended is None
    assert STANDING in comparison.nearest.beyond
    least = min(comparison.options, key=lambda option: option.missed)
    assert comparison.nearest is least
    told, words = option_sentences(comparison)[1:3]
    hours = f"its water stands {least.standing_h:.0f} h where 30 h are allowed"
    assert f"Nearest is option {least.number} ({least.label})" in told
    assert hours in told
    assert words == caution_words(least)
    assert [option.figures["nearest"] for option in comparison.options].count("yes") == 1
    sheet = comparison_sheet(comparison)
    assert hours in " ".join(text.get_text() for text in sheet.texts)
    key = [text.get_text() for text in sheet.axes[1].texts]
    assert {f"{least.standing_h:.0f} h", f"{least.to_cure} + {least.of_place}"} <= set(key)


def test_water_that_stands_too_long_keeps_an_option_from_being_recommended():
    """The same layout is recommended where the brief allows it."""
    options = grid_of(axes_of({"interval": [3.0]}))
    barred = compare(make_site(soil={**CLAY, "empty_within_h": 20.0}), plane(), options)
    assert barred.recommended is None
    assert barred.options[0].beyond == (STANDING,)
    allowed = compare(make_site(soil={**CLAY, "empty_within_h": 400.0}), plane(), options)
    assert allowed.recommended is allowed.options[0]


def test_a_held_line_with_too_high_a_fill_keeps_an_option_from_being_recommended():
    """Of held lines nothing is cut back: the brief's greatest fill is broken, and told."""
    options, free = grid_of(axes_of({"interval": [3.0]})), make_site()
    design = plan(free, plane())
    lines = lines_of(design)
    for swale in design.swales:
        lines = lines.decide(swale.id, "held")
    assert compare(free.with_lines(lines), plane(), options).recommended is not None
    barred = compare(make_site(section={"greatest_fill_m": 0.2}).with_lines(lines), plane(), options)
    assert barred.recommended is None
    assert FILL in barred.options[0].beyond


def test_each_limit_of_the_brief_is_missed_by_a_share(comparison):
    """60 h for 30 h, 1.5 m for 1.0 m, 0.03 m over a crest of 0.15 m freeboard: 1, 0.5 and 0.2."""
    site, made = make_site(soil={**CLAY, "empty_within_h": 30.0}), comparison.options[0]
    made = replace(made, holds=True, standing_h=60.0, fill_m=1.5, overtopped=("S2",), over_m=0.03)
    made = replace(made, chosen={**made.chosen, "freeboard_m": 0.15}, beyond=(STANDING, FILL, CHECK_STORM))
    assert excesses(made, site, comparison.limits) == pytest.approx({STANDING: 1.0, FILL: 0.5, CHECK_STORM: 0.2})
    assert broken_words(made, comparison)[1:] == [
        "its fill stands 1.50 m high where 2.00 m is allowed",
        "the check storm rises 0.03 m over the berm of S2",
    ]
    assert excesses(replace(made, standing_h=float("inf")), site, comparison.limits)[STANDING] == pytest.approx(7.0)
    within = replace(made, standing_h=30.0, fill_m=1.0, overtopped=(), over_m=0.0)
    assert excesses(within, site, comparison.limits) == {}
