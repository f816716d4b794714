"""The site as a graph of stores: swales and hollows, each passing its surplus to the next."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen


@one_line("area_m2", "strip_area_m2")
@dataclass(frozen=True, eq=False)
class Stores(Frozen):
    """What drains to each store, and where its surplus goes.

    Parameters
    ----------
    area_m2 : ndarray of float64, shape (n, classes)
        Ground that drains first to the store, by soil class, the store's own strip included [m²].
    strip_area_m2 : ndarray of float64, shape (n,)
        Part of it that is the store's own ditch and pond, from which every drop of rain reaches the store [m²].
    downstream : ndarray of int32, shape (n,)
        Store that the surplus goes to; −1 leaves the site.

    Attributes
    ----------
    order : ndarray of int32, shape (n,)
        Every store after all that pass water to it.

    Raises
    ------
    InputError
        If shapes disagree, an area is negative, a store passes to none that exists, or stores pass water in a circle.
    """

    area_m2: NDArray[np.float64]
    strip_area_m2: NDArray[np.float64]
    downstream: NDArray[np.int32]
    order: NDArray[np.int32] = field(init=False)

    def __post_init__(self) -> None:
        n = self.downstream.size
        if self.area_m2.ndim != 2 or self.area_m2.shape[0] != n or self.strip_area_m2.shape != (n,):
            message = (
                f"area_m2 has shape {self.area_m2.shape} and strip_area_m2 {self.strip_area_m2.shape}; "
                f"with {n} stores they must be ({n}, classes) and ({n},)"
            )
            raise InputError(message)
        if not (np.all(self.area_m2 >= 0) and np.all(self.strip_area_m2 >= 0)):
            message = "a store's area_m2 or strip_area_m2 is negative; areas must be zero or greater"
            raise InputError(message)
        if n and (self.downstream.min() < -1 or self.downstream.max() >= n):
            message = (
                f"downstream runs from {self.downstream.min()} to {self.downstream.max()}; "
                f"with {n} stores it must lie between -1 and {n - 1}"
            )
            raise InputError(message)
        object.__setattr__(self, "order", _upstream_first(self.downstream))
        super().__post_init__()

    def feeders(self) -> tuple[NDArray[np.int32], NDArray[np.int32], NDArray[np.int64]]:
        """Stores whose surplus may reach each store, for questions about one store at a time.

        Returns
        -------
        feeders : ndarray of int32
            For store 0, 1, … all stores above it, each after those above that, and the store itself last.
        below : ndarray of int32
            Place in the same store's list to which each one's surplus goes; −1 for the store itself.
        bounds : ndarray of int64, shape (n + 1,)
            Where each list begins and ends.

        Examples
        --------
        >>> stores = Stores(np.ones((3, 1)), np.zeros(3), np.array([1, -1, 1], np.int32))
        >>> [part.tolist() for part in stores.feeders()]
        [[0, 0, 2, 1, 2], [-1, 2, 2, -1, -1], [0, 1, 4, 5]]
        """
        above: list[list[int]] = [[] for _ in self.downstream]
        for store, downstream in enumerate(self.downstream.tolist()):
            if downstream >= 0:
                above[downstream].append(store)
        lists: dict[int, tuple[list[int], list[int]]] = {}
        for store in self.order.tolist():
            feeders: list[int] = []
            below: list[int] = []
            for feeder in above[store]:
                stores, places = lists[feeder]
                below += [len(feeders) + place if place >= 0 else -1 for place in places]
                feeders += stores
            below = [place if place >= 0 else len(feeders) for place in below]
            lists[store] = ([*feeders, store], [*below, -1])
        ordered = [lists[store] for store in range(len(lists))]
        bounds = np.concatenate([[0], np.cumsum([len(stores) for stores, _ in ordered], dtype=np.int64)])
        return (
            np.array([feeder for stores, _ in ordered for feeder in stores], np.int32),
            np.array([place for _, places in ordered for place in places], np.int32),
            bounds,
        )


def _upstream_first(downstream: NDArray[np.int32]) -> NDArray[np.int32]:
    """Order of stores in which a store comes after all that pass water to it."""
    waiting_for = np.bincount(downstream[downstream >= 0], minlength=downstream.size)
    order = list(np.flatnonzero(waiting_for == 0))
    for store in order:
        below = downstream[store]
        if below >= 0:
            waiting_for[below] -= 1
            if waiting_for[below] == 0:
                order.append(below)
    if len(order) < downstream.size:
        circle = sorted(set(range(downstream.size)) - set(order))
        message = (
            f"stores {', '.join(map(str, circle[:5]))} pass water in a circle; their surplus must leave in the end"
        )
        raise InputError(message)
    return np.array(order, dtype=np.int32)


def cut_circles(
    downstream: NDArray[np.int32], level_m: NDArray[np.float64]
) -> tuple[NDArray[np.int32], tuple[int, ...]]:
    """Let the surplus of the lowest store of every circle leave.

    Circles come up where the ground between two stores is as low as its noise; water can't circle uphill.

    Parameters
    ----------
    downstream : ndarray of int32, shape (n,)
        Store that each one's surplus goes to; −1 leaves.
    level_m : ndarray of float64, shape (n,)
        Level at which each store spills [m].

    Returns
    -------
    downstream : ndarray of int32, shape (n,)
        Without circles.
    cut : tuple of int
        Stores whose surplus was made to leave.

    Examples
    --------
    >>> cut_circles(np.array([1, 2, 1], np.int32), np.array([9.0, 8.0, 7.0]))
    (array([ 1,  2, -1], dtype=int32), (2,))
    """
    straight, cut, seen = downstream.copy(), [], np.zeros(downstream.size, np.int64)
    for start in range(downstream.size):
        store = start
        while store >= 0 and seen[store] == 0:
            seen[store] = start + 1
            store = int(straight[store])
        if store < 0 or seen[store] != start + 1:
            continue
        circle = [store]
        while (following := int(straight[circle[-1]])) != store:
            circle.append(following)
        lowest = min(circle, key=lambda store: (level_m[store], store))
        straight[lowest] = -1
        cut.append(lowest)
    return straight, tuple(cut)
