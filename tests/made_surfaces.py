"""Surfaces as a drone sees them, over bare ground that is known: trees, shrubs, roofs, vehicles, spikes, a torn rim."""

from typing import NamedTuple

import numpy as np
from scipy import ndimage

from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain


class Surface(NamedTuple):
    """What was flown, the ground beneath it, and which cells show something else."""

    seen: np.ndarray
    ground: np.ndarray
    covered: np.ndarray
    cell_m: float

    def terrain(self, *, vertical_sigma_m=0.05):
        """What was flown, as terrain."""
        return Terrain.from_heights(
            self.seen, Grid.from_corner(self.seen.shape, cell_m=self.cell_m), vertical_sigma_m=vertical_sigma_m
        )

    def truth(self, *, vertical_sigma_m=0.05):
        """The bare ground, known everywhere."""
        return Terrain.from_heights(
            self.ground, Grid.from_corner(self.seen.shape, cell_m=self.cell_m), vertical_sigma_m=vertical_sigma_m
        )


def metres(shape, cell_m):
    """Eastings and southings of cell centres [m]."""
    southing, easting = (np.mgrid[: shape[0], : shape[1]] + 0.5) * cell_m
    return easting, southing


def rough(rng, shape, cell_m, *, width_m, sigma_m):
    """Smooth random ground with bumps of a width and a standard deviation."""
    waves = ndimage.gaussian_filter(rng.standard_normal(shape), width_m / cell_m, mode="reflect")
    return waves * (sigma_m / waves.std())


def flank(rng, shape, cell_m):
    """A hillside of 20 %, curved across, with a low bank and a ridge that runs down it."""
    x, y = metres(shape, cell_m)
    centre = shape[1] * cell_m / 2
    height = 100 - 0.2 * y + 12e-4 * (x - centre) ** 2 / 2 + rough(rng, shape, cell_m, width_m=14, sigma_m=0.5)
    bank = np.abs(y - 0.35 * shape[0] * cell_m - 6 * np.sin(x / 30))
    height += np.clip(0.7 - 0.6 * np.maximum(bank - 0.4, 0), 0, 0.7)
    ridge = np.abs(x - 0.75 * shape[1] * cell_m)
    return height + 1.5 * np.exp(-((ridge / 5) ** 2)) + rough(rng, shape, cell_m, width_m=3, sigma_m=0.03)


def terraced(rng, shape, cell_m):
    """Terraces 5 to 7 m wide with dry walls of about 1.2 m, bent round the hill."""
    x, y = metres(shape, cell_m)
    fall = y + 10 * np.sin(x / 35) + rough(rng, shape, cell_m, width_m=12, sigma_m=0.4)
    tread, wall_m = 6.0, 1.2
    step, within = np.divmod(fall, tread)
    riser = np.clip((within - tread + 0.5) / 0.5, 0, 1)
    return 100 - wall_m * (step + riser) - 0.02 * within + rough(rng, shape, cell_m, width_m=3, sigma_m=0.03)


def gullied(rng, shape, cell_m):
    """A foot slope of 10 % cut by gullies 1 to 2 m deep, ditches and their banks."""
    x, y = metres(shape, cell_m)
    height = 100 - 0.1 * y + rough(rng, shape, cell_m, width_m=20, sigma_m=0.6)
    for share in (0.2, 0.45, 0.8):
        axis = share * shape[1] * cell_m + 7 * np.sin(y / 22 + 9 * share) + 3 * np.sin(y / 9)
        depth = 1.0 + y / y.max()
        height -= depth * np.exp(-((np.abs(x - axis) / (1.2 + depth)) ** 4))
    ditch = np.abs(y - 0.6 * y.max() - 0.1 * x)
    height += 0.5 * np.exp(-(((ditch - 1.8) / 0.8) ** 2)) - 0.5 * np.exp(-((ditch / 0.7) ** 2))
    return height + rough(rng, shape, cell_m, width_m=3, sigma_m=0.03)


GROUNDS = {"flank": flank, "terraced": terraced, "gullied": gullied}


def dome(x, y, place, *, width_m, tall_m, flat=0.5):
    """A canopy: steep at the edge, round on top [m]."""
    r = np.hypot(x - place[0], y - place[1]) / (width_m / 2)
    return tall_m * np.clip(1 - r**2, 0, None) ** flat


def box(x, y, place, *, half_m, tall_m, turn):
    """A roof or a vehicle with upright sides [m]."""
    along = (x - place[0]) * np.cos(turn) + (y - place[1]) * np.sin(turn)
    across = (y - place[1]) * np.cos(turn) - (x - place[0]) * np.sin(turn)
    inside = (np.abs(along) <= half_m[0]) & (np.abs(across) <= half_m[1])
    return np.where(inside, tall_m - 0.15 * np.abs(across), 0.0)


def made_surface(kind, seed, *, side_m=120.0, cell_m=0.5, trees=14, shrubs=150, noise_m=0.02, torn=True):
    """Ground of a kind with shrubs, trees of 2 to 12 m canopy, roofs, vehicles, spikes, pits and a torn rim."""
    rng = np.random.default_rng(seed)
    shape = (round(side_m / cell_m), round(side_m / cell_m))
    x, y = metres(shape, cell_m)
    ground = GROUNDS[kind](rng, shape, cell_m)
    stands = np.zeros(shape)
    for _ in range(shrubs):
        place, width = rng.uniform(0, side_m, 2), rng.uniform(0.8, 2.5)
        stands = np.maximum(stands, dome(x, y, place, width_m=width, tall_m=rng.uniform(0.3, 1.2)))
    for _ in range(trees):
        place, width = rng.uniform(0, side_m, 2), rng.uniform(2, 12)
        leaves = 1 + 0.15 * rough(rng, shape, cell_m, width_m=0.4, sigma_m=1.0)
        stands = np.maximum(stands, dome(x, y, place, width_m=width, tall_m=rng.uniform(0.4, 0.8) * width + 1) * leaves)
    for half_m, tall_m in (((7, 5), 4.0), ((4, 3), 3.2), ((2.2, 0.9), 1.6), ((2.2, 0.9), 1.5), ((3, 1.2), 2.6)):
        place, turn = rng.uniform(12, side_m - 12, 2), rng.uniform(0, np.pi)
        middle = ground[tuple((place[::-1] / cell_m).astype(int))]
        roof = box(x, y, place, half_m=half_m, tall_m=tall_m, turn=turn)
        stands = np.maximum(stands, np.where(roof > 0, np.maximum(middle + roof - ground, 0.5), 0))
    spikes = rng.random(shape) < 2e-4
    seen = ground + stands + rng.normal(0, noise_m, shape) + np.where(spikes, rng.choice([-1.5, 2.0], shape), 0)
    if torn:
        rim = np.minimum.reduce([x, y, side_m - x, side_m - y]) + rough(rng, shape, cell_m, width_m=2, sigma_m=2.0)
        seen[(rim < 3) | (rough(rng, shape, cell_m, width_m=2.5, sigma_m=1.0) > 2.6)] = np.nan
    covered = ((stands > 0.05) | spikes) & np.isfinite(seen)
    return Surface(seen, ground, covered, cell_m)
