"""Labels in a row, moved apart."""

from collections.abc import Sequence


def spread(places: Sequence[float], apart: float) -> list[float]:
    """Places moved as little as can be so that neighbours are at least so far apart, in their order.

    Parameters
    ----------
    places : sequence of float
        Where labels belong, rising.
    apart : float
        Least distance.

    Returns
    -------
    list of float
        Where they stand: groups that would overlap are set side by side round the mean of their places.

    Examples
    --------
    >>> spread([0.0, 1.0, 9.0], 2.0)
    [-0.5, 1.5, 9.0]
    """
    groups: list[list[float]] = []
    for place in places:
        groups.append([place])
        while len(groups) > 1 and _span(groups[-2], apart)[1] + apart > _span(groups[-1], apart)[0] + 1e-9:
            last = groups.pop()
            groups[-1] += last
    return [_span(group, apart)[0] + k * apart for group in groups for k in range(len(group))]


def _span(group: Sequence[float], apart: float) -> tuple[float, float]:
    """First and last place of a group round the mean of its members."""
    middle, half = sum(group) / len(group), (len(group) - 1) * apart / 2.0
    return middle - half, middle + half
