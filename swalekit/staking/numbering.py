"""Point numbers: whole, of six digits at most, one for every point of a site."""

from swalekit.errors import InputError

_PER_SWALE = 1000
_UPHILL, _DOWNHILL = 300, 600  # added for the offset stakes
MOST_STAKES = _UPHILL - 1
MOST_SWALES = 999


def stake_number(swale: int, place: int) -> int:
    """Number of a stake on the line.

    Parameters
    ----------
    swale : int
        Number of the swale, 1 to 999.
    place : int
        Place of the stake along the line, from 1 to 299.

    Returns
    -------
    int
        The swale's number × 1000 + the place.

    Raises
    ------
    InputError
        If there is no such number.

    Notes
    -----
    The two offset stakes add 300 uphill and 600 downhill, so that a number names swale, stake and side: 3014 is the
    14th stake of swale 3, 3314 stands uphill of it and 3614 downhill. The same line staked by the same rules gets the
    same numbers.

    Examples
    --------
    >>> number = stake_number(3, 14)
    >>> number, uphill_number(number), downhill_number(number)
    (3014, 3314, 3614)
    """
    if not 1 <= swale <= MOST_SWALES:
        message = f"swale number {swale} makes no point number; stake swales 1 to {MOST_SWALES}"
        raise InputError(message)
    if not 1 <= place <= MOST_STAKES:
        message = (
            f"swale {swale} would have more than {MOST_STAKES} stakes, for which there are no point numbers; "
            "set the stakes farther apart"
        )
        raise InputError(message)
    return swale * _PER_SWALE + place


def uphill_number(stake: int) -> int:
    """Number of the offset stake uphill of a stake."""
    return stake + _UPHILL


def downhill_number(stake: int) -> int:
    """Number of the offset stake downhill of a stake."""
    return stake + _DOWNHILL
