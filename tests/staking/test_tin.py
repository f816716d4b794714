"""The ground as built as triangles: nearly exact, with sill and returns, from few points."""

import numpy as np
import pytest
import shapely
from matplotlib.tri import LinearTriInterpolator, Triangulation
from staked_ground import LINE_Y, cone, ring, sloping_plane, straight

from swalekit.earthwork.built_ground import BuiltGround, build_ground
from swalekit.errors import InputError
from swalekit.kernels.earthwork_surface import DITCH, GROUND, OUTER_FACE
from swalekit.section.footprint import works_footprint
from swalekit.section.laid_swale import LaidSwale
from swalekit.staking.tin import Tin, triangulate
from swalekit.terrain.terrain import Terrain

pytestmark = pytest.mark.compiled


def built_with(terrain: Terrain, *swales: LaidSwale) -> BuiltGround:
    """The ground with swales and their sills."""
    return build_ground(
        terrain,
        [swale.line for swale in swales],
        [swale.shape for swale in swales],
        sills=[(swale.sill_chainage_m, swale.sill_length_m) for swale in swales],
    )


def off_by_m(tin: Tin, built: BuiltGround) -> np.ndarray:
    """Height of the triangles above the ground as built at its fine cells; NaN beside the triangles."""
    cells, fine = np.nonzero(built.block >= 0), np.divmod(np.arange(built.k**2), built.k)
    at = [cell[:, np.newaxis] + (sub + 0.5) / built.k - 0.5 for cell, sub in zip(cells, fine, strict=True)]
    x, y = (part.ravel() for part in built.grid.centres(*at))
    west, south, _ = tin.xyz.min(axis=0)
    seen = LinearTriInterpolator(Triangulation(tin.xyz[:, 0] - west, tin.xyz[:, 1] - south, tin.faces), tin.xyz[:, 2])
    return seen(x - west, y - south).filled(np.nan) - built.heights[built.grid.n_cells :]


@pytest.mark.parametrize(("terrain", "swale"), [(sloping_plane(), straight()), (cone(), ring())], ids=["plane", "cone"])
def test_triangles_follow_the_ground_as_built(terrain, swale):
    """Ditch, crest and sill are met within 2 cm, all else but the returns' toes within 5 cm."""
    built = built_with(terrain, swale)
    tin = triangulate(terrain, built, [swale])
    off_m, part = np.abs(off_by_m(tin, built)), built.part[built.grid.n_cells :]
    assert np.isfinite(off_m[part != GROUND]).all()
    inner = (part != GROUND) & (part != OUTER_FACE)
    assert np.percentile(off_m[inner], 99.0) < 0.01
    assert np.percentile(off_m[part != GROUND], 99.0) < 0.03
    assert off_m[part == DITCH].max() < 0.06
    assert len(tin.xyz) < 25.0 * swale.line.length_m
    levels_m = np.unique(tin.xyz[:, 2].round(4))
    assert {swale.shape.crest_level_m, swale.shape.sill_level_m, swale.shape.floor_level_m} <= set(levels_m.tolist())


def test_triangles_cover_the_works_and_a_strip_once():
    """Areas are positive, anticlockwise, and add up to the works with 2 m round them."""
    terrain, swale = sloping_plane(), straight()
    tin = triangulate(terrain, built_with(terrain, swale), [swale], margin_m=2.0)
    first, second, third = np.moveaxis(tin.xyz[tin.faces, :2], 1, 0)
    areas_m2 = 0.5 * np.linalg.det(np.stack([second - first, third - first], axis=1))
    assert (areas_m2 > 0.0).all()
    band = works_footprint(swale.line, swale.shape).buffer(2.0)
    assert areas_m2.sum() == pytest.approx(band.area, rel=0.05)
    middle = shapely.points(tin.xyz[tin.faces, :2].mean(axis=1))
    assert shapely.distance(middle, band).max() == 0.0


def test_triangles_of_neighbours_follow_the_one_that_stands():
    """Where berm and ditch of two swales share ground, what stands there is drawn, not both."""
    terrain, swales = sloping_plane(), (straight(), straight(number=2, north_m=-4.5))
    built = built_with(terrain, *swales)
    assert built.shared_m2.min() > 50.0
    off_m = np.abs(off_by_m(triangulate(terrain, built, swales), built))
    assert np.nanpercentile(off_m[built.part[built.grid.n_cells :] == DITCH], 97.0) < 0.05


def test_void_has_no_triangles():
    """Ground that isn't known is left open, and if there is none at all, that is told."""
    whole, swale = sloping_plane(), straight()
    heights = np.array(whole.heights)
    heights[:, 60:70] = np.nan
    terrain = Terrain.from_heights(heights, whole.grid)
    tin = triangulate(terrain, built_with(terrain, swale), [swale])
    x = tin.xyz[tin.faces, 0].mean(axis=1) - whole.grid.bounds[0]
    assert not ((x > 60.0) & (x < 70.0)).any()
    assert tin.xyz[:, 1].min() < LINE_Y < tin.xyz[:, 1].max()
    heights[:-1] = np.nan
    nothing = Terrain.from_heights(heights, whole.grid)
    with pytest.raises(InputError, match="no ground within 2 m of the works"):
        triangulate(nothing, built_with(nothing, swale), [swale])
