"""The published size that a tree's water asks for."""

import math

from swalekit._checks import check_not_negative, check_positive
from swalekit.errors import InputError
from swalekit.tables.microcatchments import NegarimRow, SemiCircularRow, negarim_sizes, semi_circular_sizes


def negarim_size(catchment_m2: float, rooted_m2: float) -> NegarimRow:
    """The smallest published negarim that holds catchment and rooted ground of one tree.

    Parameters
    ----------
    catchment_m2 : float
        Catchment that the tree needs besides the ground of its roots [m²].
    rooted_m2 : float
        Ground that its roots use [m²].

    Returns
    -------
    NegarimRow
        The size.

    Raises
    ------
    InputError
        If a value is negative, or none is large enough.

    Notes
    -----
    The manual calls MC = RA (WR − DR) / (DR K EFF) the total size of the unit. By its own balance of water it is the
    catchment alone, so that the unit is MC + RA, as here: the larger of the two readings.

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, ch. 4.4; from memory.

    Examples
    --------
    >>> negarim_size(74.3, 10.0).side_m
    10.0
    """
    check_not_negative(catchment_m2=catchment_m2)
    check_positive(rooted_m2=rooted_m2)
    whole_m2, sizes = catchment_m2 + rooted_m2, negarim_sizes()
    fit = next((row for row in sizes if row.side_m**2 >= whole_m2), None)
    if fit is None:
        message = (
            f"a tree that needs {whole_m2:.0f} m² asks for a negarim of {math.sqrt(whole_m2):.1f} m, and none is "
            f"published above {sizes[-1].side_m:g} m; choose a thriftier tree, or semi-circular bunds"
        )
        raise InputError(message)
    return fit


def semi_circular_choices(catchment_m2: float) -> tuple[SemiCircularRow, ...]:
    """The published bunds for a tree's catchment: the smallest that holds it, and larger ones for steeper ground.

    Parameters
    ----------
    catchment_m2 : float
        Catchment that the tree needs besides the ground that the bund encloses [m²].

    Returns
    -------
    tuple of SemiCircularRow
        From the smallest; each is published for steeper ground than those before it.

    Raises
    ------
    InputError
        If it is negative, or none is large enough.

    Examples
    --------
    >>> [(row.radius_m, row.greatest_slope_percent) for row in semi_circular_choices(74.3)]
    [(6.0, 1.0), (10.0, 4.0)]
    """
    check_not_negative(catchment_m2=catchment_m2)
    choices: list[SemiCircularRow] = []
    for row in semi_circular_sizes():
        steepest = max((other.greatest_slope_percent for other in choices), default=0.0)
        if trees_of_bund(row, catchment_m2) and row.greatest_slope_percent > steepest:
            choices.append(row)
    if not choices:
        largest = semi_circular_sizes()[-1]
        message = (
            f"a tree that needs a catchment of {catchment_m2:.0f} m² has no published semi-circular bund: that of "
            f"{largest.radius_m:g} m has {_catchment_m2(largest):.0f} m²; choose a thriftier tree"
        )
        raise InputError(message)
    return tuple(choices)


def trees_of_bund(row: SemiCircularRow, catchment_m2: float) -> int:
    """Trees that a bund waters.

    Parameters
    ----------
    row : SemiCircularRow
        A published size.
    catchment_m2 : float
        Catchment that one needs [m²].

    Returns
    -------
    int
        As many as its catchment holds, and no more than one for every 10 m² that it encloses.

    Examples
    --------
    >>> [trees_of_bund(row, 74.3) for row in semi_circular_sizes()]
    [1, 6, 25]
    """
    room = math.floor(row.area_m2 / _ROOM_M2)
    return min(room, math.floor(_catchment_m2(row) / catchment_m2 + 1e-9)) if catchment_m2 > 0.0 else room


_ROOM_M2 = 10.0
"""Ground that a tree stands on at least: the usual 10 m² of roots in the manual's example; our choice."""


def _catchment_m2(row: SemiCircularRow) -> float:
    return row.catchment_ratio * math.pi * row.radius_m**2 / 2.0
