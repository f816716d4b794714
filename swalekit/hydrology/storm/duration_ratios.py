"""Share of a day's storm that falls in its wettest hours."""

from collections.abc import Mapping

from swalekit._checks import check_between, check_one_of
from swalekit.hydrology.storm.depth_table import DepthTable
from swalekit.tables.load import read_table


def published_ratios(kind: str) -> dict[float, float]:
    """Shares of the 24-hour depth within an NRCS storm.

    Parameters
    ----------
    kind : str
        NRCS storm type: ``I``, ``IA``, ``II`` or ``III``.

    Returns
    -------
    dict of float to float
        Duration [h] to the share of the 24-hour depth that falls in the wettest stretch of that length [-].

    Raises
    ------
    InputError
        If the kind is unknown.

    Notes
    -----
    The types are regional averages of the United States and can disagree with local records; a local atlas is
    better where there is one.

    Examples
    --------
    >>> published_ratios("II")[1.0]
    0.454
    """
    rows = read_table("duration_ratios")
    check_one_of(tuple(dict.fromkeys(row["kind"] for row in rows)), kind=kind)
    return {float(row["duration_h"]): float(row["ratio"]) for row in rows if row["kind"] == kind}


def duration_ratio(duration_h: float, ratios: Mapping[float, float]) -> float:
    """Share of the 24-hour depth that falls in the wettest stretch of some length.

    Parameters
    ----------
    duration_h : float
        Length of the stretch [h].
    ratios : mapping of float to float
        Known lengths [h] to their shares [-], from `published_ratios` or the user's own.

    Returns
    -------
    float
        Share [-]; linear in logarithms between the known ones.

    Raises
    ------
    InputError
        If the length lies outside the known ones, or the shares aren't positive and rising with duration.

    Examples
    --------
    >>> round(duration_ratio(1.5, published_ratios("II")), 3)
    0.501
    """
    check_between(min(ratios), max(ratios), duration_h=duration_h)
    return DepthTable.from_ratios(1.0, ratios, return_period_y=1.0).depth_mm_at(duration_h, 1.0)
