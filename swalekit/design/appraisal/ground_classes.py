"""What the ground of a site suits, cell by cell: level swales, microcatchments, or neither."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from swalekit._checks import check_positive, check_same_shape
from swalekit.frozen import Frozen
from swalekit.tables.values import site_limit
from swalekit.units import to_us

SWALES, MICROCATCHMENTS, NOTHING = "level swales", "microcatchments", "nothing"


@dataclass(frozen=True)
class GroundClass:
    """A kind of ground.

    Parameters
    ----------
    number : int
        In the array of classes.
    use : str
        What it suits: ``level swales``, ``microcatchments`` or ``nothing``.
    name : str
        In a few words.
    reason : str
        Why, with braces round the limits.
    """

    number: int
    use: str
    name: str
    reason: str


GROUND_CLASSES: tuple[GroundClass, ...] = (
    GroundClass(1, SWALES, "workable slope", "{least} to {greatest}: a level ditch gathers water, a machine can work"),
    GroundClass(2, MICROCATCHMENTS, "too flat", "under {least}: a basin a tree (negarim, half-moon bunds)"),
    GroundClass(3, MICROCATCHMENTS, "steep", "{greatest} to {slip}: half-moon basins dug by hand"),
    GroundClass(4, MICROCATCHMENTS, "rough or broken", "a level line can't follow it: single basins by hand"),
    GroundClass(5, MICROCATCHMENTS, "dry and gentle", "under {dry} a year and {micro}: negarim, a basin a tree"),
    GroundClass(6, NOTHING, "too steep", "over {slip}: may slip when soaked; keep its plants"),
    GroundClass(7, NOTHING, "too dry", "too little rain for basins, or too steep for them where it is dry"),
    GroundClass(8, NOTHING, "watercourse", "flowing water: keep {gap} clear"),
    GroundClass(9, NOTHING, "pond in a hollow", "water stands there in the storm"),
    GroundClass(10, NOTHING, "kept clear", "keep-outs and the setback from the boundary"),
    GroundClass(11, NOTHING, "unknown", "no heights there"),
)
"""Every cell of a site is of one of these; the last that fits counts."""


@dataclass(frozen=True)
class Limits:
    """Where one kind of ground ends and the next begins.

    Parameters
    ----------
    least_slope, greatest_slope : float
        Ground that swales may run on [m/m].
    slip_slope : float
        Ground that is left alone [m/m].
    microcatchment_slope : float
        Steepest ground for basins that catch sheet flow [m/m].
    roughness_m : float
        Departure from the mean over 15 m [m].
    rain_year_mm : float or None
        Rain of an average year; None where it isn't known, and then no ground is called dry [mm].
    swale_rain_mm, microcatchment_rain_mm : float
        Rain of a year from which swales, and microcatchments, fill often enough [mm].
    watercourse_gap_m : float
        Strip along watercourses [m].

    Raises
    ------
    InputError
        If one isn't above zero.

    Examples
    --------
    >>> Limits.published(least_slope=0.01, greatest_slope=0.2, watercourse_gap_m=5.0).slip_slope
    0.35
    """

    least_slope: float
    greatest_slope: float
    slip_slope: float
    microcatchment_slope: float
    roughness_m: float
    swale_rain_mm: float
    microcatchment_rain_mm: float
    watercourse_gap_m: float
    rain_year_mm: float | None = None

    def __post_init__(self) -> None:
        check_positive(
            **{name: value for name, value in vars(self).items() if value is not None and name != "watercourse_gap_m"}
        )

    @classmethod
    def published(
        cls, *, least_slope: float, greatest_slope: float, watercourse_gap_m: float, rain_year_mm: float | None = None
    ) -> "Limits":
        """Limits of the table, with those of a brief's lines.

        Parameters
        ----------
        least_slope, greatest_slope : float
            Ground that lines may lie on [m/m].
        watercourse_gap_m : float
            Strip along watercourses [m].
        rain_year_mm : float, optional
            Rain of an average year [mm].

        Returns
        -------
        Limits
            The limits.
        """
        return cls(
            least_slope,
            greatest_slope,
            slip_slope=max(site_limit("slip slope").value / 100.0, greatest_slope),
            microcatchment_slope=site_limit("microcatchment greatest slope").value / 100.0,
            roughness_m=site_limit("roughness").value,
            swale_rain_mm=site_limit("swale least rain").value,
            microcatchment_rain_mm=site_limit("microcatchment least rain").value,
            watercourse_gap_m=watercourse_gap_m,
            rain_year_mm=rain_year_mm,
        )

    def reason(self, kind: GroundClass, *, units: str = "metric") -> str:
        """Why ground of a kind suits what it suits, with these limits.

        Parameters
        ----------
        kind : GroundClass
            The kind.
        units : str
            ``metric`` or ``us``.

        Returns
        -------
        str
            A phrase without a full stop.

        Examples
        --------
        >>> limits = Limits.published(least_slope=0.01, greatest_slope=0.2, watercourse_gap_m=5.0)
        >>> limits.reason(GROUND_CLASSES[5])
        'over 35 %: may slip when soaked; keep its plants'
        """
        slopes = {
            "least": self.least_slope,
            "greatest": self.greatest_slope,
            "slip": self.slip_slope,
            "micro": self.microcatchment_slope,
        }
        percents = {name: f"{100.0 * slope:g} %" for name, slope in slopes.items()}
        gap, rain = ((value, unit) if units == "metric" else to_us(value, unit) for value, unit in (
            (self.watercourse_gap_m, "m"), (self.swale_rain_mm, "mm")
        ))  # fmt: skip
        return kind.reason.format(**percents, gap=f"{gap[0]:.2g} {gap[1]}", dry=f"{rain[0]:.3g} {rain[1]}")


@dataclass(frozen=True, eq=False)
class GroundFacts(Frozen):
    """What decides the kind of a cell, on one grid.

    Parameters
    ----------
    slope : ndarray of float32, shape (rows, columns)
        Slope of the ground [m/m]; NaN where void.
    roughness_m : ndarray of float32, shape (rows, columns)
        As `roughness` gives it [m]; NaN where void.
    watercourse, pond, kept_clear : ndarray of bool, shape (rows, columns)
        Cells of these.
    """

    slope: NDArray[np.float32]
    roughness_m: NDArray[np.float32]
    watercourse: NDArray[np.bool_]
    pond: NDArray[np.bool_]
    kept_clear: NDArray[np.bool_]

    def __post_init__(self) -> None:
        check_same_shape(**vars(self))
        super().__post_init__()


def classify(facts: GroundFacts, inside: NDArray[np.bool_], limits: Limits) -> NDArray[np.uint8]:
    """Part the ground of a site by what it suits.

    Parameters
    ----------
    facts : GroundFacts
        What decides.
    inside : ndarray of bool, shape (rows, columns)
        Cells of the site.
    limits : Limits
        Where one kind ends and the next begins.

    Returns
    -------
    ndarray of uint8, shape (rows, columns)
        Number of one of `GROUND_CLASSES` in every cell of the site, 0 elsewhere.

    Raises
    ------
    InputError
        If shapes differ.

    Notes
    -----
    Of several kinds that fit a cell the last of `GROUND_CLASSES` counts. Where a year brings less rain than swales
    need, ground up to the slope of sheet-flow basins is for these, and the rest for nothing; below what basins need
    all of it is. Where the rain isn't known neither is judged.

    Examples
    --------
    >>> none = np.zeros((1, 5), bool)
    >>> slopes = np.array([[0.005, 0.1, 0.3, 0.5, np.nan]], np.float32)
    >>> facts = GroundFacts(slopes, 0.0 * slopes, none, none, none)
    >>> limits = Limits.published(least_slope=0.01, greatest_slope=0.2, watercourse_gap_m=5.0)
    >>> classify(facts, ~none, limits)
    array([[ 2,  1,  3,  6, 11]], dtype=uint8)
    """
    check_same_shape(slope=facts.slope, inside=inside)
    slope, rain_mm = facts.slope, limits.rain_year_mm
    dry = rain_mm is not None and rain_mm < limits.swale_rain_mm
    too_dry = rain_mm is not None and rain_mm < limits.microcatchment_rain_mm
    gentle = slope <= limits.microcatchment_slope
    fits = {
        1: np.ones_like(inside),
        2: slope < limits.least_slope,
        3: slope > limits.greatest_slope,
        4: facts.roughness_m > limits.roughness_m,
        5: gentle & dry,
        6: slope > limits.slip_slope,
        7: (~gentle & dry) | np.full_like(inside, too_dry),
        8: facts.watercourse,
        9: facts.pond,
        10: facts.kept_clear,
        11: np.isnan(slope),
    }
    classes = np.zeros(inside.shape, np.uint8)
    for number, cells in fits.items():
        classes[cells & inside] = number
    return classes


def roughness(heights: NDArray[np.float32], cell_m: float, *, over_m: float = 15.0) -> NDArray[np.float32]:
    """How far the ground departs from its own mean.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Heights, NaN where void [m].
    cell_m : float
        Side of a cell [m].
    over_m : float
        Width of the window [m].

    Returns
    -------
    ndarray of float32, shape (rows, columns)
        Root mean square, over the window, of the departure of heights from their mean over the window [m]; 0 on a
        plane away from voids; NaN where void.

    Examples
    --------
    >>> plane = np.add.outer(np.arange(30.0), np.zeros(30)).astype(np.float32)
    >>> float(roughness(plane, 3.0)[15, 15])
    0.0
    """
    side = max(3, 2 * round(over_m / cell_m / 2) + 1)
    known = ~np.isnan(heights)
    base = float(np.nanmean(heights)) if known.any() else 0.0

    def mean(values: NDArray[np.float64]) -> NDArray[np.float64]:
        weight = ndimage.uniform_filter(known.astype(np.float64), side, mode="constant")
        summed = ndimage.uniform_filter(np.where(known, values, 0.0), side, mode="constant")
        return np.asarray(summed / np.maximum(weight, 1e-9), np.float64)

    whole = ndimage.uniform_filter(known.astype(np.float64), side, mode="constant") > 1.0 - 1e-6
    departure = np.where(whole, heights - base - mean(heights.astype(np.float64) - base), 0.0)
    rms = np.sqrt(np.maximum(mean(departure**2), 0.0))
    return np.where(known, np.round(rms, 6), np.nan).astype(np.float32)
