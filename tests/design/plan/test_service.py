"""Years of service of a plan's swales: by hand on a plane, and told as assumed where the brief is silent."""

import pytest
from sites import make_site, plane

from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.table import swale_row, totals
from swalekit.hydrology.silt.soil_loss import slope_factor
from swalekit.results.plan.summary import summary

GIVEN = {"erosivity": 500.0, "erodibility": 0.03, "cover_factor": 0.2, "density_t_m3": 1.3, "clean_at_share": 0.2}


@pytest.fixture(scope="module")
def design():
    """Two swales down a plane of 10 %."""
    return plan(make_site(levels={"levels_m": [103.0, 107.0]}, silt=GIVEN), plane(shape=(120, 60)))


def test_silt_of_a_plane_by_hand(design):
    """R K LS C over the catchment, with the catchment over the line as slope length."""
    for swale in design.swales:
        steepness = slope_factor(swale.catchment_m2 / swale.line.length_m, 0.1)
        silt = 500.0 * 0.03 * steepness * 0.2 * swale.catchment_m2 / 10_000.0 / 1.3
        assert swale.service.silt_m3_y == pytest.approx(silt, rel=0.01)
        row = swale_row(swale)
        assert row["clean_after_y"] == pytest.approx(0.2 * swale.storage_m3 / silt, rel=0.01)
        assert row["storage_10y_m3"] == pytest.approx(swale.storage_m3 - 10.0 * silt, abs=0.1)
        assert row["design_held_y"] == pytest.approx((swale.storage_m3 - swale.held_m3) / silt, abs=0.1)
    assert totals(design)["silt_m3_y"] == pytest.approx(
        sum(swale.service.silt_m3_y for swale in design.swales), abs=0.1
    )
    assert summary(design)["values_used"]["silt_assumed"] == []


def test_what_is_assumed_is_told():
    """A silent brief assumes rain, soil, cover, density and share; a given erosivity makes the rain needless."""
    used = summary(plan(make_site(), plane()))["values_used"]
    keys = ["rain_year_mm", "erodibility", "cover_factor", "density_t_m3", "clean_at_share"]
    assert used["silt_assumed"] == keys
    assert used["silt"]["cover_factor"] == 0.2
    given = make_site(silt={"erosivity": 500.0})
    assert given.brief.silt.assumed == tuple(keys[1:])


def test_a_berm_is_built_higher_by_what_it_settles():
    """By 5 % of its height, or by 10 % where it is left loose; the levels of the design stay."""
    plain, loose = (plan(make_site(allowances={"settlement": share}), plane()).swales[0] for share in (0.05, 0.1))
    assert plain.settles_m == pytest.approx(0.05 * plain.berm_height_m)
    assert loose.settles_m == pytest.approx(0.1 * plain.berm_height_m)
    assert loose.sized.shape.crest_level_m == plain.sized.shape.crest_level_m


def test_room_kept_for_silt_makes_a_swale_deeper():
    """With 0.2 m of silt on its floor it still holds the design storm; without the key it is as deep as before."""
    levels = {"levels_m": [104.0]}
    plain, kept = (
        plan(make_site(levels=levels, allowances={"silt_depth_m": depth}), plane()).swales[0] for depth in (0.0, 0.2)
    )
    assert kept.sized.shape.depth_m > plain.sized.shape.depth_m
    assert kept.storage_m3 - kept.sized.shape.room_above_floor_m3(0.2) >= kept.held_m3
    assert plan(make_site(levels=levels), plane()).swales[0].sized.shape.depth_m == plain.sized.shape.depth_m


def test_no_layout_has_no_silt():
    """A brief whose levels find no ground has nothing to silt up."""
    assert totals(plan(make_site(levels={"interval_m": 900.0}), plane()))["silt_m3_y"] == 0
