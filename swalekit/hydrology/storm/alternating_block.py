"""A design storm that is as wet as the depth table for every duration at once."""

import numpy as np

from swalekit._checks import check_positive
from swalekit.errors import InputError
from swalekit.hydrology.storm.depth_table import DepthTable
from swalekit.hydrology.storm.hyetograph import Hyetograph


def alternating_block(table: DepthTable, *, return_period_y: float, duration_h: float, step_min: float) -> Hyetograph:
    """A storm whose wettest stretch of any length has the depth of the table.

    Parameters
    ----------
    table : DepthTable
        Depths by duration, from an atlas or from `DepthTable.from_ratios`.
    return_period_y : float
        Return period [years].
    duration_h : float
        Length of the storm [h].
    step_min : float
        Length of a block [min]; the storm is a whole number of them.

    Returns
    -------
    Hyetograph
        The storm, its peak in the middle.

    Raises
    ------
    InputError
        If the storm is no whole number of blocks, or a block or the storm lies outside the table.

    Notes
    -----
    The k-th block is what the table adds from (k − 1) to k steps. Blocks are laid from the middle outwards, later and
    earlier in turn, so any k of them round the peak hold exactly the table's depth for k steps.

    References
    ----------
    .. [1] Chow, Maidment & Mays (1988). Applied Hydrology, section 14.4.

    Examples
    --------
    >>> table = DepthTable.from_ratios(60.0, {0.5: 0.38, 1.0: 0.45, 24.0: 1.0}, return_period_y=10.0)
    >>> storm = alternating_block(table, return_period_y=10.0, duration_h=2.0, step_min=30.0)
    >>> storm.increments_mm(30.0).round(2)
    array([ 2.9 , 22.8 ,  4.2 ,  2.24])
    """
    check_positive(duration_h=duration_h, step_min=step_min)
    blocks = round(duration_h * 60.0 / step_min)
    if blocks < 1 or not np.isclose(blocks * step_min, duration_h * 60.0, rtol=1e-9):
        message = f"storm of {duration_h:g} h is no whole number of steps of {step_min:g} min; change one of them"
        raise InputError(message)
    depths = [table.depth_mm_at(block * step_min / 60.0, return_period_y) for block in range(1, blocks + 1)]
    outward = np.diff(depths, prepend=0.0)
    place = np.arange(blocks)
    from_middle = (place + 1) // 2 * np.where(place % 2, 1, -1)
    increments = np.empty(blocks)
    increments[(blocks - 1) // 2 + from_middle] = outward
    return Hyetograph.from_increments(increments, step_min=step_min)
