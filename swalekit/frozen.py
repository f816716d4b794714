"""Values that nothing changes: the arrays in them are locked when they are made."""

from collections.abc import Callable, Mapping
from functools import cached_property, wraps
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

Value = TypeVar("Value")


def locked(value: Value) -> Value:
    """Lock an array, or the arrays in a tuple, list or mapping, against writing, and give it back.

    Parameters
    ----------
    value : object
        Anything; what is or holds no array stays as it is.

    Returns
    -------
    object
        The value itself.

    Examples
    --------
    >>> heights = locked(np.zeros(3))
    >>> heights[0] = 1.0
    Traceback (most recent call last):
    ValueError: assignment destination is read-only
    """
    if isinstance(value, np.ndarray):
        value.flags.writeable = False
    elif isinstance(value, Mapping):
        for part in value.values():
            locked(part)
    elif isinstance(value, tuple | list):
        for part in value:
            locked(part)
    return value


class Frozen:
    """What frozen values with arrays are made on: a value owns its arrays, and locks them.

    An array given to a value is not copied; it can be written no more, whoever else holds it. A class with checks of
    its own calls ``super().__post_init__()`` after them. A property that makes an array once is a `locked_property`.
    """

    def __post_init__(self) -> None:
        locked(tuple(vars(self).values()))

    def __setstate__(self, state: dict[str, Any]) -> None:
        """Lock what comes from another process, which arrives open."""
        vars(self).update(state)
        locked(tuple(state.values()))


def locked_property(make: Callable[[Any], Value]) -> cached_property[Value]:
    """Make a property that is worked out once, the arrays of which are locked.

    Parameters
    ----------
    make : callable
        Method that works it out.

    Returns
    -------
    cached_property
        The property.

    Examples
    --------
    >>> from dataclasses import dataclass
    >>> @dataclass(frozen=True, eq=False)
    ... class Profile(Frozen):
    ...     heights_m: np.ndarray
    ...
    ...     @locked_property
    ...     def fall_m(self):
    ...         return -np.diff(self.heights_m)
    >>> profile = Profile(np.array([3.0, 2.5]))
    >>> profile.fall_m, profile.fall_m.flags.writeable
    (array([0.5]), False)
    """

    @wraps(make)
    def once(owner: Any) -> Value:
        return locked(make(owner))

    return cached_property(once)


def read_only(array: NDArray[Any]) -> NDArray[Any]:
    """Give a view of an array that can't be written through, for loops that are compiled once, for locked arrays.

    Parameters
    ----------
    array : ndarray
        Any array; it stays as it is.

    Returns
    -------
    ndarray
        A view of the array's own numbers.

    Examples
    --------
    >>> read_only(np.zeros(3)).flags.writeable
    False
    """
    view = array.view()
    view.flags.writeable = False
    return view
