"""The stand: what grows on planted ground, as the water budget sees it."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Self

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.planting.plants.canopy import density_coefficient
from swalekit.planting.water.crop_coefficients import GrowingDays, basal_coefficients, greatest_coefficients
from swalekit.tables.crop_coefficients import CropRow

Values = NDArray[np.float64]


@one_line("crop.name", "cover")
@dataclass(frozen=True)
class StandPart:
    """One crop of a stand.

    Parameters
    ----------
    crop : CropRow
        Its coefficients.
    cover : float
        Share of the planted ground under its canopies [-].

    Raises
    ------
    InputError
        If the cover lies outside 0 to 1.
    """

    crop: CropRow
    cover: float

    def __post_init__(self) -> None:
        check_between(0.0, 1.0, cover=self.cover)


@one_line("cover", "mulch_cover", "kcb")
@dataclass(frozen=True, eq=False)
class Stand(Frozen):
    """What a stand uses on every day over the reference.

    Parameters
    ----------
    kcb, kc_max : ndarray of float64, shape (n,)
        Basal and greatest crop coefficient [-].
    cover : float
        Share of the ground under canopies [-].
    mulch_cover : float
        Share of the ground that is mulched [-].

    Raises
    ------
    InputError
        If the coefficients differ in shape or a share lies outside 0 to 1.
    """

    kcb: Values
    kc_max: Values
    cover: float
    mulch_cover: float = 0.0

    def __post_init__(self) -> None:
        check_same_shape(kcb=self.kcb, kc_max=self.kc_max)
        check_between(0.0, 1.0, cover=self.cover, mulch_cover=self.mulch_cover)
        super().__post_init__()

    def with_mulch(self, cover: float) -> Self:
        """The stand with another share of mulch.

        Parameters
        ----------
        cover : float
            Share of the ground that is mulched, 0 to 1 [-].

        Returns
        -------
        Stand
            Its coefficients as they were.

        Raises
        ------
        InputError
            If the share lies outside 0 to 1.

        Examples
        --------
        >>> Stand(np.array([0.6]), np.array([1.2]), 0.5).with_mulch(0.8).mulch_cover
        0.8
        """
        return replace(self, mulch_cover=cover)


def stand_of(parts: Sequence[StandPart], days: GrowingDays, *, mulch_cover: float = 0.0) -> Stand:
    """Join crops into one stand.

    Parameters
    ----------
    parts : sequence of StandPart
        The crops with the ground each covers.
    days : GrowingDays
        The days with wind and humidity.
    mulch_cover : float
        Share of the ground that is mulched [-].

    Returns
    -------
    Stand
        With the coefficients of its crops weighted by their cover, thinned where it covers less than theirs stand for.

    Raises
    ------
    InputError
        If nothing covers any ground, or a crop has no coefficients.

    Notes
    -----
    Kcb = Kcb,full Kd with the density coefficient Kd of all canopies together and Kcb,full = Kcb,row / Kd,row for the
    cover at which a crop's row holds, but no more than the row's own Kcb: a planting denser than an orchard is
    understated. Kc,min is taken as 0, as the source gives for dry ground (0.0 to 0.15), since what bare ground
    evaporates is counted apart.

    References
    ----------
    .. [1] Allen & Pereira (2009). Irrigation Science 28, eq. 5.

    Examples
    --------
    An evergreen whose coefficient holds for ground that is covered, over half of it; Kd is 1.5 × 0.5:

    >>> days = GrowingDays(np.array(["2001-07-01"], "datetime64[D]"), 37.0, np.full(1, 2.0), np.full(1, 45.0))
    >>> grove = StandPart(CropRow("an evergreen", None, (0.6, 0.6, 0.6), 3.0), 0.5)
    >>> stand_of([grove], days).kcb.round(3)
    array([0.45])
    """
    covers = np.array([part.cover for part in parts])
    if not covers.sum() > 0.0:
        message = f"a stand of {len(parts)} crops covers no ground; give at least one a canopy cover above zero"
        raise InputError(message)
    shares, cover = covers / covers.sum(), min(1.0, float(covers.sum()))
    height_m = float(shares @ np.array([part.crop.height_m for part in parts]))
    dense = density_coefficient(cover, height_m)
    thin = [min(1.0, dense / density_coefficient(part.crop.cover, height_m)) for part in parts]
    kcb = (shares * thin) @ np.vstack([basal_coefficients(part.crop, days) for part in parts])
    return Stand(kcb, greatest_coefficients(kcb, days, height_m=height_m), cover, mulch_cover)
