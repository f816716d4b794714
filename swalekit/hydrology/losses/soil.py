"""The soil value: what the ground keeps of a storm, where it varies, and what a ditch's floor takes in."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._checks import check_between, check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen, locked_property
from swalekit.grid import Grid
from swalekit.hydrology.losses.curve_number import CurveNumberLoss
from swalekit.hydrology.losses.loss import Loss, default_storm_shape
from swalekit.hydrology.storm.hyetograph import Hyetograph
from swalekit.terrain.terrain import cells_within

INTAKE_SAFETY_FACTOR = 2.0
"""Rate measured in the field over the rate to design with; common practice, for silt and for soil that varies."""

_CURVE_TOP_MM = 1000.0
_CURVE_DEPTHS = 1001


@one_line("losses", "intake_mm_h", "intake_safety_factor")
@dataclass(frozen=True)
class Soil(Frozen):
    """The soil classes of a site.

    Parameters
    ----------
    losses : tuple of Loss
        Loss of each soil class.
    intake_mm_h : float, optional
        Steady intake of the ditch floor as measured in the field or taken from a table [mm/h].
    intake_safety_factor : float
        What the intake is divided by for design, 1 or more [-].
    storm_shape : Hyetograph
        Course of every storm, scaled to its depth, for losses that follow it.

    Raises
    ------
    InputError
        If there is no class or a value lies outside its range.

    Examples
    --------
    >>> from swalekit.hydrology.losses.green_ampt import GreenAmptLoss
    >>> Soil((CurveNumberLoss(80.0), GreenAmptLoss(6.5, 167.0, 0.34))).runoff_mm(50.0).round(1)
    array([13.8,  8.3])
    """

    losses: tuple[Loss, ...]
    intake_mm_h: float | None = None
    intake_safety_factor: float = INTAKE_SAFETY_FACTOR
    storm_shape: Hyetograph = field(default_factory=default_storm_shape)

    def __post_init__(self) -> None:
        if not self.losses:
            message = "the soil has no class; give at least one loss or curve number"
            raise InputError(message)
        if self.intake_mm_h is not None:
            check_positive(intake_mm_h=self.intake_mm_h)
        check_between(1.0, 100.0, intake_safety_factor=self.intake_safety_factor)
        super().__post_init__()

    @property
    def curve_number(self) -> tuple[float, ...]:
        """Curve number of each class for Ia / S = 0.2 [-]; an error where a class follows another method."""
        numbers = tuple(loss.usual_curve_number for loss in self.losses if isinstance(loss, CurveNumberLoss))
        if len(numbers) < len(self.losses):
            found = ", ".join(type(loss).__name__ for loss in self.losses)
            message = f"a soil class has no curve number: its losses are {found}; make all of them CurveNumberLoss"
            raise InputError(message)
        return numbers

    @property
    def has_condition(self) -> bool:
        """Whether it is defined for ground that was dry or wet before: every class follows it."""
        return all(loss.follows_condition for loss in self.losses)

    @property
    def design_intake_mm_h(self) -> float | None:
        """Intake of the ditch floor to design with: the field value over the safety factor [mm/h]."""
        return None if self.intake_mm_h is None else self.intake_mm_h / self.intake_safety_factor

    def with_condition(self, condition: str) -> Self:
        """The soil where the ground is ``dry``, ``average`` or ``wet`` before the storm.

        Parameters
        ----------
        condition : str
            Antecedent runoff condition I, II or III.

        Returns
        -------
        Soil
            With curve numbers moved to the condition. Other losses stay as they are, as does the intake: what the
            condition means for them is said by their own values, such as Green and Ampt's moisture deficit.

        Raises
        ------
        InputError
            If the condition is unknown.

        Notes
        -----
        Curve numbers are weak where runoff is a small part of the rain, which is the rule in dry country: a design
        should be shown with the band from dry to wet.

        Examples
        --------
        >>> soil = Soil((CurveNumberLoss(74.0),))
        >>> [float(soil.with_condition(ground).runoff_mm(109.2)[0].round()) for ground in ("dry", "average", "wet")]
        [17.0, 46.0, 76.0]
        """
        return replace(self, losses=tuple(loss.with_condition(condition) for loss in self.losses))

    def runoff_mm(self, rain_mm: ArrayLike) -> NDArray[np.float64]:
        """Runoff of every class from a storm.

        Parameters
        ----------
        rain_mm : array_like, shape (...)
            Storm depth [mm].

        Returns
        -------
        ndarray of float64, shape (..., classes)
            Runoff [mm].

        Raises
        ------
        InputError
            If rain is negative or not finite.

        Notes
        -----
        Losses that follow the storm's course are read from a curve of runoff over depth, worked out once a soil up to
        1000 mm and straight between 1001 depths, which lie closer the smaller they are. As a rule it differs from
        `Loss.runoff_mm` by less than 0.01 mm; where runoff bends sharply (a constant loss, a soil near saturation), by
        up to a quarter of the spacing, 0.1 mm at 50 mm of rain. Deeper storms are worked out one by one.

        Examples
        --------
        >>> from swalekit.hydrology.losses.coefficient import RunoffCoefficient
        >>> Soil((RunoffCoefficient(0.3), RunoffCoefficient(0.5))).runoff_mm(50.0)
        array([15., 25.])
        """
        rain = np.asarray(rain_mm, np.float64)
        runoff = np.empty((*rain.shape, len(self.losses)))
        for k, (loss, curve_mm) in enumerate(zip(self.losses, self._curves_mm, strict=True)):
            if curve_mm is None or not np.all((rain >= 0) & (rain <= _CURVE_TOP_MM)):
                runoff[..., k] = loss.runoff_mm(rain, shape=self.storm_shape)
            else:
                runoff[..., k] = np.interp(rain, _curve_depths_mm(), curve_mm)
        return runoff

    @locked_property
    def _curves_mm(self) -> tuple[NDArray[np.float64] | None, ...]:
        """Runoff of each class at `_curve_depths_mm`; None where a formula of depth alone is as quick."""
        depths = _curve_depths_mm()
        return tuple(
            loss.runoff_mm(depths, shape=self.storm_shape) if loss.follows_course else None for loss in self.losses
        )


def _curve_depths_mm() -> NDArray[np.float64]:
    """Depths of a runoff curve, closer where runoff bends most."""
    return np.asarray(_CURVE_TOP_MM * np.linspace(0.0, 1.0, _CURVE_DEPTHS) ** 2)


@one_line("loss")
@dataclass(frozen=True, eq=False)
class SoilZone:
    """Ground with a loss of its own.

    Parameters
    ----------
    loss : Loss
        What the ground keeps of a storm, by any method.
    geometry : shapely polygon or multipolygon
        Where it holds.
    """

    loss: Loss
    geometry: BaseGeometry


def zone_index(grid: Grid, zones: Sequence[SoilZone]) -> NDArray[np.uint8]:
    """Which zone each cell lies in: 0 for none, 1 + k for zone k; the later of two that overlap counts.

    Parameters
    ----------
    grid : Grid
        The cells.
    zones : sequence of SoilZone
        At most 255, in the CRS of the grid.

    Returns
    -------
    ndarray of uint8, shape (rows, columns)
        By cell centre.

    Raises
    ------
    InputError
        If there are more than 255 zones.

    Examples
    --------
    >>> import shapely
    >>> from swalekit.hydrology.losses.coefficient import RunoffCoefficient
    >>> grid = Grid.from_corner((1, 3), cell_m=1.0, west_m=0.0, north_m=1.0)
    >>> zone_index(grid, [SoilZone(RunoffCoefficient(0.9), shapely.box(1.0, 0.0, 3.0, 1.0))])
    array([[0, 1, 1]], dtype=uint8)
    """
    check_between(0, 255, number_of_zones=len(zones))
    index: NDArray[np.uint8] = grid.zeros(np.uint8)
    for number, zone in enumerate(zones, start=1):
        index[cells_within(grid, zone.geometry)] = number
    return index
