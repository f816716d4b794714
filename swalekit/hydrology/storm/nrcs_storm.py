"""The 24-hour storms of the NRCS."""

import numpy as np

from swalekit._checks import check_one_of, check_positive
from swalekit.hydrology.storm.hyetograph import Hyetograph
from swalekit.tables.load import read_table

NRCS_KINDS = ("I", "IA", "II", "III")


def nrcs_storm(depth_mm: float, kind: str) -> Hyetograph:
    """A storm of 24 hours in the shape of an NRCS type.

    Parameters
    ----------
    depth_mm : float
        Rain in 24 hours [mm].
    kind : str
        ``I``, ``IA`` (Pacific coast of the United States), ``II`` (inland) or ``III`` (Gulf and Atlantic coasts).

    Returns
    -------
    Hyetograph
        The storm.

    Raises
    ------
    InputError
        If the depth isn't positive or the kind unknown.

    Notes
    -----
    Half-hour ordinates of the later vintage (tabulated in tenths of an hour), with tenths round the peaks of types I,
    II and III; the table of 23 ordinates in older handbooks differs from it by up to 0.7 % of the depth, away from
    the peak. Bursts shorter than half an hour are flattened in type IA, shorter than six minutes in the others. The
    types are regional averages and can disagree with local records; where there is a local depth table,
    `alternating_block` follows it.

    References
    ----------
    .. [1] USDA SCS (1986). Urban Hydrology for Small Watersheds, TR-55, appendix B.

    Examples
    --------
    >>> storm = nrcs_storm(100.0, "II")
    >>> storm.duration_h, round(storm.peak_intensity_mm_h(60.0), 1)
    (24.0, 45.2)
    """
    check_positive(depth_mm=depth_mm)
    check_one_of(NRCS_KINDS, kind=kind)
    rows = read_table("nrcs_storms")
    shares = np.array([float(row[kind]) for row in rows])
    return Hyetograph(np.array([float(row["time_h"]) for row in rows]), depth_mm * shares)
