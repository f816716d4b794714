"""Each caution is raised by its figure and not without it."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from sites import make_site, plane

from swalekit.contours.lay import lay_lines
from swalekit.design.plan.cautions import STANDING_CAUTIONS, Surroundings, cautions_by_name, swale_cautions
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.table import swale_row


def names(slope: float = 0.1, **parts) -> set[str]:
    """Cautions of a plan on a plane with two lines in the middle of the tile."""
    design = plan(make_site(**({"levels": {"levels_m": [106.0, 104.0]}} | parts)), plane(slope, shape=(140, 100)))
    return {caution.name for caution in design.cautions if caution.swale}


@pytest.fixture(scope="module")
def swale():
    """The upper swale of two on a gentle plane."""
    return plan(make_site(levels={"levels_m": [106.0, 104.0]}), plane()).swales[0]


@pytest.mark.parametrize(
    ("name", "raised", "not_raised"),
    [
        ("steep ground", {"slope": 0.2}, {"slope": 0.1}),
        ("too small", {"storm": {"depth_mm": 200.0}, "section": {"greatest_depth_m": 0.3}}, {}),
        (
            "stands long",
            {"soil": {"curve_number": 80, "intake_mm_h": 1.0}},
            {"soil": {"curve_number": 80, "intake_mm_h": 60.0}},
        ),
        ("stands long", {"soil": {"curve_number": 80, "texture": "clay"}}, {"soil": {"curve_number": 80}}),
        (
            "stands long",
            {"soil": {"curve_number": 80, "intake_mm_h": 20.0, "empty_within_h": 5.0}},
            {"soil": {"curve_number": 80, "intake_mm_h": 20.0, "empty_within_h": 150.0}},
        ),
        ("deep trench", {"section": {"least_depth_m": 1.3, "greatest_depth_m": 1.4, "greatest_fill_m": 2.0}}, {}),
        ("high fill", {"section": {"least_depth_m": 1.6, "greatest_depth_m": 1.7, "greatest_fill_m": 2.0}}, {}),
    ],
)
def test_a_figure_over_its_limit_raises_its_caution(name, raised, not_raised):
    """Over the limit the caution stands, under it it does not."""
    assert name in names(**raised)
    assert name not in names(**not_raised)


@pytest.mark.parametrize(
    ("name", "choices"),
    [
        ("catchment cut off", {"cut_off_m": 3.0}),
        ("above building 'House'", {"exposed": ("building 'House'",)}),
        ("works overlap", {"overlapped": ("S2", "S3")}),
        ("works reach road", {"reached": ("road",)}),
        ("place unsure", {"spacing_m": 0.8}),
        ("not as sized", {"differs": ("has no pond",)}),
    ],
)
def test_what_the_place_raises(swale, name, choices):
    """Edge, things nearby, soil and spacing are looked at one by one."""
    quiet = Surroundings(spacing_m=20.0)
    assert name in {caution.name for caution in swale_cautions(swale, replace(quiet, **choices), empty_within_h=72.0)}
    assert name not in {caution.name for caution in swale_cautions(swale, quiet, empty_within_h=72.0)}


def test_fill_over_a_metre_is_cautioned(swale):
    """Wherever it stands along the swale, and not up to a metre."""
    for fill_m, expected in ((1.2, True), (1.0, False)):
        found = swale_cautions(replace(swale, fill_m=fill_m), Surroundings(), empty_within_h=72.0)
        assert ("high fill" in {caution.name for caution in found}) == expected


@pytest.mark.parametrize(("interval_m", "expected"), [(0.3, True), (0.4, False)])
def test_works_that_take_the_same_ground_are_told(interval_m, expected):
    """Of lines that are given works are 3.4 m wide: 3 m apart each overlaps its neighbours, 4 m apart none."""
    terrain = plane(0.1, shape=(80, 60), cell_m=0.5)
    lines, _ = lay_lines(terrain, 103.7 - interval_m * np.arange(8), area=shapely.box(*terrain.grid.bounds))
    design = plan(make_site(), terrain, lines=lines)
    told = [[caution.text for caution in swale.cautions if caution.name == "works overlap"] for swale in design.swales]
    assert len(told) >= 3
    assert all(bool(texts) == expected for texts in told)
    if expected:
        assert "works of S1, S3 take" in told[1][0]


def test_a_failure_that_overtops_others_is_cautioned(swale):
    """With those it overtops, and only then."""
    for overtops, expected in (((), False), (("S2",), True)):
        failing = replace(swale, failure=replace(swale.failure, overtops=overtops))
        found = {caution.name: caution.text for caution in swale_cautions(failing, Surroundings(), empty_within_h=72.0)}
        assert ("failure overtops others" in found) == expected
    assert found["failure overtops others"].endswith("S2 would be overtopped and fail too")


def test_the_place_is_unsure_beyond_half_the_spacing(swale):
    """σ_z / slope = 0.05 / 0.1 = 0.5 m: unsure below a spacing of 1 m."""
    assert swale.position_sigma_m == pytest.approx(0.5, rel=1e-3)
    for spacing, expected in ((0.99, True), (1.01, False)):
        found = swale_cautions(swale, Surroundings(spacing_m=spacing), empty_within_h=72.0)
        assert ("place unsure" in {caution.name for caution in found}) == expected


def test_the_standing_cautions_are_always_there():
    """Utilities, trench, permits, licensed practice and levelling on site, even without a swale."""
    design = plan(make_site(levels={"interval_m": 900.0}), plane())
    assert design.cautions == STANDING_CAUTIONS
    words = " ".join(caution.text for caution in STANDING_CAUTIONS)
    for word in ("utilities", "trench", "permits", "water rights", "engineer", "level"):
        assert word in words


def test_cautions_in_a_table_are_their_names(swale):
    """The column holds the names, separated by semicolons."""
    digging = replace(swale, sill=replace(swale.sill, lacking="the ground below falls 45 %"))
    cautions = swale_cautions(digging, Surroundings(spacing_m=0.5, cut_off_m=4.0), empty_within_h=72.0)
    assert swale_row(replace(swale, cautions=cautions))["cautions"] == "sill may scour; catchment cut off; place unsure"


def test_a_sill_that_digs_for_all_that_is_cautioned(swale):
    """With what is lacking, and only then; the table says it too, else what bears the flow."""
    quiet = swale_cautions(swale, Surroundings(spacing_m=20.0), empty_within_h=72.0)
    assert "sill may scour" not in {caution.name for caution in quiet}
    assert swale_row(swale)["outlet"] == "apron"
    digging = replace(swale, sill=replace(swale.sill, lacking="the ground below falls 45 %"))
    (told,) = swale_cautions(digging, Surroundings(spacing_m=20.0), empty_within_h=72.0)
    assert (told.name, told.text) == ("sill may scour", "its flow digs: the ground below falls 45 %")
    assert swale_row(digging)["outlet"] == "the ground below falls 45 %"


def test_cautions_are_gathered_by_name_with_their_advice():
    """One row a name, the swales that raise it, and what to do."""
    design = plan(make_site(levels={"levels_m": [106.0, 104.0]}), plane(0.2, shape=(140, 100)))
    rows = {name: (swales, advice) for name, swales, advice in cautions_by_name(design.cautions)}
    assert rows["steep ground"][0] == ["S1", "S2"]
    assert "engineer" in rows["steep ground"][1]
