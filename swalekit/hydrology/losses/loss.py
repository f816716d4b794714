"""What the ground keeps of a storm: what every method of losses answers and tells."""

from abc import ABC, abstractmethod
from collections.abc import Mapping
from functools import cache
from typing import Any, ClassVar, NamedTuple, Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_one_of, check_same_shape
from swalekit.errors import InputError
from swalekit.hydrology.losses.antecedent import CONDITIONS
from swalekit.hydrology.storm.hyetograph import Hyetograph, storm_fault
from swalekit.hydrology.storm.storm import nrcs_storm


@cache
def default_storm_shape() -> Hyetograph:
    """Course of a storm where none is given: NRCS type II, 24 hours.

    Returns
    -------
    Hyetograph
        Shape with a depth of 1 mm.

    Notes
    -----
    Its peak hour brings 45 % of the rain, which suits ground whose runoff comes from thunderstorms. Rain spread evenly
    over a day would leave next to nothing on most soils, and that isn't safe to size for.

    Examples
    --------
    >>> default_storm_shape().duration_h
    24.0
    """
    return nrcs_storm(1.0, "II")


class KeyFigure(NamedTuple):
    """The value of a method that matters most: how a sheet labels it, the field that holds it, its SI unit."""

    label: str
    field: str
    unit: str = ""


class Loss(ABC):
    """One way to tell the rain that runs off from the rain that doesn't.

    Whatever the method, runoff lies between nothing and the rain, and more rain in every step never makes less of it.
    A method is a frozen dataclass of its values. Its class says what the rest of the house must know of it: the keys
    that ask for it in a brief, and its words on a map, in a report and in the record.
    """

    method: ClassVar[str]
    """Name in the record."""
    in_words: ClassVar[str]
    """Name in a sentence."""
    told: ClassVar[str]
    """Name in a sentence with all values that are not the figure: a template, each value with its SI unit."""
    figure: ClassVar[KeyFigure]
    """The value that matters most."""
    sources: ClassVar[tuple[tuple[str, str], ...]] = ()
    """What it takes from published tables: in words, and the name of the table."""

    keys: ClassVar[tuple[str, ...]]
    """Keys of a brief's soil that, once given, ask for the method."""
    shared_keys: ClassVar[tuple[str, ...]] = ()
    """Further keys that it reads and that alone don't ask for it."""
    names: ClassVar[tuple[str, ...]] = ()
    """Those of both whose values are not numbers but rows of a table."""
    ways: ClassVar[tuple[str, ...]]
    """Keys that are enough, for messages."""
    tested_key: ClassVar[str | None] = None
    """Key that a ring test in the field can give."""

    follows_course: ClassVar[bool] = True
    """Whether runoff depends on the course of a storm as well as on its depth."""
    follows_condition: ClassVar[bool] = False
    """Whether it is defined for ground that was dry or wet before the storm, which then says how far it may be off."""
    infiltrates: ClassVar[bool] = False
    """Whether what the ground keeps is what soaks into it, so that a ditch in that ground takes in more or less too."""

    @classmethod
    @abstractmethod
    def from_keys(cls, keys: Mapping[str, Any]) -> Self:
        """The loss that a brief's soil, or a soil zone, asks for.

        Parameters
        ----------
        keys : mapping
            Values of `keys` and `shared_keys` in SI, as far as they are given.

        Returns
        -------
        Loss
            One of the method.

        Raises
        ------
        InputError
            If a value is missing, said twice or outside its range.
        """

    @classmethod
    def lent_keys(cls, zone: Mapping[str, Any]) -> tuple[str, ...]:
        """Keys that a zone which says nothing of them takes from a brief of the method; all that ask for it.

        Parameters
        ----------
        zone : mapping
            What the zone says itself, by key.

        Returns
        -------
        tuple of str
            The keys.
        """
        return cls.keys

    @abstractmethod
    def keeping(self, factor: float) -> Self:
        """The loss of ground that keeps more, or less, than expected.

        Parameters
        ----------
        factor : float
            What the part that the ground keeps is multiplied by, above zero [-].

        Returns
        -------
        Loss
            One of the method; a factor of one changes nothing.

        Examples
        --------
        >>> from swalekit.hydrology.losses.constant import ConstantLoss
        >>> ConstantLoss(5.0, 10.0).keeping(1.2)
        ConstantLoss(initial_mm=6.0, rate_mm_h=12.0)
        """

    def excess_mm(self, time_h: ArrayLike, cumulative_mm: ArrayLike) -> NDArray[np.float64]:
        """Rain that has run off, over the time of a storm.

        Parameters
        ----------
        time_h : array_like, shape (n,)
            Time, rising [h].
        cumulative_mm : array_like, shape (n,)
            Rain fallen until then, from 0, never falling; between two times it falls evenly [mm].

        Returns
        -------
        ndarray of float64, shape (n,)
            Runoff until then [mm].

        Raises
        ------
        InputError
            If the arrays differ in length, time doesn't rise, or rain doesn't start with 0 or is negative in a step.

        Examples
        --------
        >>> from swalekit.hydrology.losses.constant import ConstantLoss
        >>> ConstantLoss(5.0, 10.0).excess_mm([0.0, 1.0, 2.0], [0.0, 5.0, 35.0])
        array([ 0.,  0., 20.])
        """
        time, rain = np.asarray(time_h, np.float64), np.asarray(cumulative_mm, np.float64)
        check_same_shape(time_h=time, cumulative_mm=rain)
        fault = storm_fault(time, rain)
        if fault is not None:
            message = f"storm at {time[fault[0]]:g} h: {fault[1]}"
            raise InputError(message)
        if rain[:1].tolist() != [0.0]:
            message = f"cumulative_mm starts with {rain[:1]}; it must start with 0"
            raise InputError(message)
        return np.asarray(np.minimum(self._excess_mm(time, rain[np.newaxis])[0], rain))

    def runoff_mm(self, rain_mm: ArrayLike, *, shape: Hyetograph | None = None) -> NDArray[np.float64]:
        """Runoff of whole storms.

        Parameters
        ----------
        rain_mm : array_like
            Depth of each storm [mm].
        shape : Hyetograph, optional
            Course of every storm, scaled to its depth; `default_storm_shape` if not given. Without effect on methods
            that don't follow the course.

        Returns
        -------
        ndarray of float64
            Runoff, in the shape of the rain [mm].

        Raises
        ------
        InputError
            If rain is negative or not finite.

        Examples
        --------
        >>> from swalekit.hydrology.losses.coefficient import RunoffCoefficient
        >>> RunoffCoefficient(0.3).runoff_mm([20.0, 50.0])
        array([ 6., 15.])
        """
        rain = np.asarray(rain_mm, np.float64)
        wrong = rain[~((rain >= 0) & np.isfinite(rain))]
        if wrong.size:
            message = f"rain_mm is {wrong[0]:g}; it must be finite and zero or greater"
            raise InputError(message)
        course = default_storm_shape() if shape is None else shape
        time_h, fallen = (course.time_h, course.cumulative_mm) if self.follows_course else (np.zeros(1), np.ones(1))
        cumulative_mm = rain.reshape(-1, 1) * (fallen / fallen[-1])
        return np.asarray(np.minimum(self._excess_mm(time_h, cumulative_mm)[:, -1].reshape(rain.shape), rain))

    def with_condition(self, condition: str) -> Self:
        """The loss for a wetness of the ground before the storm; only curve numbers change.

        Parameters
        ----------
        condition : str
            ``dry``, ``average`` or ``wet``.

        Returns
        -------
        Loss
            The loss itself, for a method that doesn't follow the condition.

        Raises
        ------
        InputError
            If the condition is unknown.

        Examples
        --------
        >>> from swalekit.hydrology.losses.constant import ConstantLoss
        >>> ConstantLoss(5.0, 10.0).with_condition("wet")
        ConstantLoss(initial_mm=5.0, rate_mm_h=10.0)
        """
        check_one_of(CONDITIONS, condition=condition)
        return self

    @abstractmethod
    def _excess_mm(self, time_h: NDArray[np.float64], cumulative_mm: NDArray[np.float64]) -> NDArray[np.float64]:
        """Runoff of m storms until each of n times, shape (m, n)."""
