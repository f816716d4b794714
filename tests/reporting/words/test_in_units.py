"""Sentences of the design in the reader's units: no metric figure is left for one who reads feet."""

import re
from dataclasses import replace

import pytest
from sites import make_site, plane

from swalekit.cli.say.mended import print_mended
from swalekit.cli.say.plan import print_plan
from swalekit.design.mending import mend
from swalekit.design.plan import plan
from swalekit.reporting.words.plan_words import plan_cautions, plan_notes, raised_cautions
from swalekit.reporting.words.shown import in_units
from swalekit.results.plan.record import plan_record

METRIC = re.compile(r"\d ?(m|mm|m³|m3|m²|m2|ha)(?![\w³²/])")


@pytest.mark.parametrize(
    ("metric", "us"),
    [
        ("it is dug 1.30 m deep", "it is dug 4.27 ft deep"),
        (
            "no line at 120 m: the ground reaches from 99.96 to 111.90 m",
            "no line at 394 ft: the ground reaches from 327.95 to 367.13 ft",
        ),
        ("by 30 m³; a line above that keeps back 12 m3", "by 39 yd³; a line above that keeps back 16 yd³"),
        ("a storm of 50.8 mm", "a storm of 2.00 in"),
        ("parted, 12.5 ha, or 300 m2", "parted, 30.888 acres, or 3,229 ft²"),
        ("brings 0.21 m³/s; 29 CFR 1926.651; S3 m", "brings 0.21 m³/s; 29 CFR 1926.651; S3 m"),
    ],
)
def test_figures_before_a_unit_are_told_anew(metric, us):
    """Lengths, levels from and to, volumes, areas, rain; flows, citations and names stay."""
    assert in_units(metric, units="us") == us
    assert in_units(metric, units="metric") == metric


@pytest.fixture(scope="module")
def design():
    """A steep plane above one narrow ditch, in US units, that raises several cautions."""
    soil = {"curve_number": 85.0, "intake_mm_h": 10.0}
    section = {"greatest_bottom_width_m": 0.6, "greatest_depth_m": 1.4, "greatest_fill_m": 2.0}
    site = make_site(
        site={"units": "us"}, soil=soil, section=section, levels={"levels_m": [124.0, 140.0]},
        lines={"watercourse_area_m2": 1e6, "greatest_slope": 0.3},
    )  # fmt: skip
    return plan(site, plane(0.18, shape=(220, 90)))


def test_no_metric_figure_is_left_in_a_plan(design, capsys, tmp_path):
    """Terminal, cautions with their figures, and notes."""
    record = plan_record(design)
    assert {caution.name for caution in raised_cautions(record)} >= {"steep ground"}
    texts = [*plan_cautions(record), *plan_notes(record)]
    texts += [text for caution in raised_cautions(record) for _, text in caution.raised]
    print_plan(design, tmp_path)
    assert [text for text in (*texts, *capsys.readouterr().out.splitlines()) if METRIC.search(text)] == []


def test_no_metric_figure_is_left_in_mending(design, capsys, tmp_path):
    """What was tried, in feet, and what stays."""
    mended = mend(design, only=["S1"])
    assert mended.trials
    print_mended(replace(mended), tmp_path)
    told = [trial.cure.words for trial in mended.trials]
    assert any(" ft" in words for words in told)
    assert [text for text in (*told, *capsys.readouterr().out.splitlines()) if METRIC.search(text)] == []
