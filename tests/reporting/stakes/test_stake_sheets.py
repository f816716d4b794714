"""The crew's sheets: true to scale, every stake once, legible, and the same each time."""

import re
from collections import Counter
from dataclasses import replace
from itertools import islice, pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from matplotlib.text import Text
from read_back import words
from sites import make_site, plane
from staked_ground import cone, ring

from swalekit.design.plan.pipeline import plan
from swalekit.design.survey.stakeout import stake_design
from swalekit.errors import InputError
from swalekit.reporting.paper.save import save_pdf
from swalekit.reporting.stakes.pieces import SCALES, cut_to_pieces, stake_xy
from swalekit.reporting.stakes.sheets import SHEET_PAPERS, stake_sheets
from swalekit.reporting.words.spread import spread
from swalekit.results.plan.record import plan_record
from swalekit.staking.stake_out import stake_out


def make_design(
    *,
    name: str = "Ladera Ñandú",
    sigma_m: float = 0.05,
    levels_m=(108.0, 104.0),
    width: int = 260,
    rows: int = 120,
    **parts,
):
    """Two lines of about 250 m across a plane of 10 %."""
    site = make_site(levels={"levels_m": list(levels_m)}, **{"site": {"name": name}, **parts})
    return plan(site, replace(plane(shape=(rows, width)), vertical_sigma_m=sigma_m))


@pytest.fixture(scope="module")
def design():
    """Two swales, each too long for a sheet."""
    return make_design()


@pytest.fixture(scope="module")
def figures(design):
    """All their sheets on A4."""
    return list(stake_sheets(plan_record(design), stake_design(design)))


def scale_of(figure) -> float:
    """Denominator in a sheet's head."""
    text = next(text for text in words(figure) if text.startswith("Scale"))
    return float(re.search(r"1 : (\d+)", text)[1])


def test_sheets_are_overview_work_and_pieces(design, figures):
    """Each sheet has its number, and the two swales are cut to as few pieces as A4 holds at 1:500."""
    heads = [text for figure in figures[1:] for text in words(figure) if text.startswith("Sheet ")]
    numbers = [re.match(r"Sheet (\d+) of (\d+)", text) for text in heads if text != "Sheet"]
    assert [(int(match[1]), int(match[2])) for match in numbers if match] == [(k, 8) for k in range(2, 9)]
    assert len(figures) == 2 + 2 * 3
    assert {scale_of(figure) for figure in figures[2:]} == {500.0}


def test_every_stake_stands_once_on_a_plan_and_once_in_a_table(design, figures):
    """Over all sheets the number of each stake is written twice, and no other number of a stake is."""
    stakes = stake_design(design).stakes
    counted = Counter(text for figure in figures[2:] for text in words(figure) if re.fullmatch(r"[12]0\d\d", text))
    assert counted == {str(stake.number): 2 for stake in stakes}


def test_line_goes_on_on_the_sheet_that_is_named(figures):
    """Each line's three pieces name the sheet that they go on on, and that names the sheet that it comes from."""
    said = [(sheet, text) for sheet, figure in enumerate(figures, start=1) for text in words(figure)]
    onward = [(k, int(match[1])) for k, text in said if (match := re.fullmatch(r"continues on sheet (\d+)", text))]
    back = [(int(match[1]), k) for k, text in said if (match := re.fullmatch(r"from sheet (\d+)", text))]
    assert sorted(onward) == sorted(back) == [(3, 4), (4, 5), (6, 7), (7, 8)]


@pytest.mark.parametrize("paper", SHEET_PAPERS)
@pytest.mark.parametrize("units", ["metric", "us"])
def test_plans_are_true_to_scale_and_letters_large_enough(paper, units):
    """100 m of ground are 100 m / scale on paper, both ways; no lettering is smaller than 7 points."""
    short = make_design(width=50, site={"units": units}, levels_m=[106.0])
    for figure in stake_sheets(plan_record(short), stake_design(short), paper=paper):
        assert min(text.get_fontsize() for text in figure.findobj(Text) if text.get_text()) >= 7.0
    plan_axes = figure.axes[1]
    corners = plan_axes.transData.transform([(0.0, 0.0), (100.0, 0.0), (0.0, 100.0)]) / figure.dpi * 25.4
    across_mm, up_mm = np.hypot(*(corners[1:] - corners[0]).T)
    assert scale_of(figure) == {"metric": 250.0, "us": 240.0}[units]
    assert (across_mm, up_mm) == pytest.approx((100_000 / scale_of(figure),) * 2, rel=1e-6)


def test_pieces_keep_distances_and_lie_with_downhill_down_the_page(design):
    """Turning to the sheet changes no distance; the first stake is left of the last, and uphill offsets lie above."""
    stakeout = stake_design(design)
    stakes = [stake for stake in stakeout.stakes if stake.swale == "S1"]
    pieces = cut_to_pieces(stakeout.swales[0], stakes, room=lambda _: (220.0, 60.0), scales=SCALES["metric"])
    assert len(pieces) == 3
    assert [stake for piece in pieces for stake in piece.stakes] == stakes
    for piece in pieces:
        xy = stake_xy(piece.stakes)[: len(piece.stakes)]
        turned = piece.to_sheet(xy)
        np.testing.assert_allclose(np.hypot(*np.diff(turned, axis=0).T), np.hypot(*np.diff(xy, axis=0).T), rtol=1e-9)
        np.testing.assert_allclose(piece.to_ground(turned), xy, rtol=0, atol=1e-6)
        assert turned[0, 0] < turned[-1, 0]
        uphill = piece.to_sheet(np.array([(k.uphill.x_m, k.uphill.y_m) for k in piece.stakes]))
        assert (uphill[:, 1] > turned[:, 1]).all()


@pytest.mark.parametrize(("width_mm", "count"), [(500.0, 1), (300.0, 2), (150.0, 3)])
def test_ring_is_whole_or_goes_on_round(width_mm, count):
    """A ring of 188 m: whole and north up where it fits, else pieces that each go on at both ends, stakes once each."""
    swale = ring()
    stakes = stake_out([swale], cone()).stakes
    pieces = cut_to_pieces(swale, stakes, room=lambda _: (width_mm, 400.0), scales=(500,) * 2)
    assert len(pieces) == count
    assert {piece.continues for piece in pieces} == ({(False, False)} if count == 1 else {(True, True)})
    assert sum(piece.length_m for piece in pieces) == pytest.approx(swale.line.length_m)
    assert Counter(stake.number for piece in pieces for stake in piece.stakes) == {stake.number: 1 for stake in stakes}
    assert count > 1 or pieces[0].turn == 0.0


def test_line_is_not_cut_in_its_sill(design):
    """All three stakes of a sill stand on one piece."""
    stakeout = stake_design(design)
    for swale in stakeout.swales:
        stakes = [stake for stake in stakeout.stakes if stake.swale == swale.id]
        for width_mm in (90.0, 130.0, 220.0):
            pieces = cut_to_pieces(swale, stakes, room=lambda _, w=width_mm: (w, 60.0), scales=(500, 500))
            assert sum(any("sill" in stake.mark for stake in piece.stakes) for piece in pieces) == 1


def test_too_many_stakes_for_a_sheet_are_cut_on():
    """A sheet that holds five stakes gets no more."""
    design = make_design(width=120)
    stakeout = stake_design(design)
    stakes = [stake for stake in stakeout.stakes if stake.swale == "S1"]
    room = lambda count: (500.0, 90.0) if count <= 5 else None  # noqa: E731
    pieces = cut_to_pieces(stakeout.swales[0], stakes, room=room, scales=SCALES["metric"])
    assert max(len(piece.stakes) for piece in pieces) <= 5


def test_same_design_gives_the_same_bytes(tmp_path):
    """Two runs write the same PDF."""
    short = make_design(width=50, levels_m=[106.0])
    one, other = (
        save_pdf(stake_sheets(plan_record(short), stake_design(short)), tmp_path / name).read_bytes()
        for name in ("a.pdf", "b.pdf")
    )
    assert one == other
    assert one.startswith(b"%PDF")


@pytest.mark.parametrize("name", ["Huerta Ñandú", "مزرعة الزيتون", "$\\frac{1}{2}$ & <b>"])
def test_name_of_the_site_comes_out_whole(name, tmp_path):
    """Accents, Arabic and signs of formulas stand in the head of every sheet as they were given."""
    short = make_design(name=name, width=50, levels_m=[106.0])
    figures = list(stake_sheets(plan_record(short), stake_design(short)))
    save_pdf(figures, tmp_path / "sheets.pdf")
    assert all(any(name in text for text in words(figure)) for figure in figures)


def test_unsure_places_are_told_with_the_cure():
    """A height error of 0.2 m on 10 % is 2 m on the ground: the sheet says so, and from which stake to level."""
    said = {}
    for sigma_m in (0.05, 0.2):
        short = make_design(sigma_m=sigma_m, width=50, levels_m=[106.0])
        *_, figure = stake_sheets(plan_record(short), stake_design(short))
        said[sigma_m] = " ".join(words(figure))
    assert "PLACE UNSURE by up to 2.0 m" in said[0.2]
    assert "foot of stake 1001" in said[0.2]
    assert "PLACE UNSURE" not in said[0.05]


def test_heights_above_the_benchmark_and_feet_are_shown():
    """Ground at 106 m stands 5.00 m above a benchmark of 101 m, and at 347.77 ft."""
    stakes = {"benchmark": "well cap", "benchmark_m": 101.0}
    metric = make_design(width=50, levels_m=[106.0], stakes=stakes)
    *_, figure = stake_sheets(plan_record(metric), stake_design(metric))
    assert "+5.00" in words(figure)
    us = make_design(width=50, levels_m=[106.0], site={"units": "us"})
    overview, _, figure = stake_sheets(plan_record(us), stake_design(us))
    assert "347.77" in words(figure)
    assert any("Heights are feet" in text for text in words(overview))


def test_layout_without_swales_is_one_sheet_that_says_so():
    """An interval larger than the relief: the overview alone, with the reason."""
    empty = plan(make_site(levels={"interval_m": 500.0}), plane())
    (figure,) = stake_sheets(plan_record(empty), stake_design(empty))
    assert any("No level line fits" in text for text in words(figure))


def test_many_swales_get_further_sheets_of_quantities():
    """Sixty swales: every one stands once in the table of quantities, which takes two sheets, and the totals once."""
    many = make_design(width=50, rows=240, levels_m=[101.0 + 0.36 * k for k in range(60)])
    _, first, second, piece = islice(stake_sheets(plan_record(many), stake_design(many)), 4)
    listed = Counter(text for sheet in (first, second) for text in words(sheet) if re.fullmatch(r"S\d+|All", text))
    assert all(listed[swale.id] >= 1 for swale in many.swales)
    assert listed["All"] == 1
    assert any(text.startswith("Sheet 4 of ") for text in words(piece))


def test_unknown_paper_fails(design):
    """A paper that isn't stocked is named with those that are."""
    with pytest.raises(InputError, match=r"paper is 'A1'; it must be one of A4, A3, letter, tabloid"):
        next(stake_sheets(plan_record(design), stake_design(design), paper="A1"))


@given(st.lists(st.floats(0, 100), max_size=12), st.floats(0.1, 10))
def test_spread_labels_keep_their_order_and_distance(places, apart):
    """Neighbours stand far enough apart, and labels that were stay where they are."""
    places = sorted(places)
    moved = spread(places, apart)
    assert all(b - a >= apart - 1e-6 for a, b in pairwise(moved))
    if all(b - a >= apart for a, b in pairwise(places)):
        assert moved == pytest.approx(places)
