"""Yield on salty ground: the straight line from a threshold down."""

from swalekit._checks import check_between, check_not_negative, check_positive


def relative_yield(ece_ds_m: float, *, threshold_ds_m: float, slope_percent: float) -> float:
    """Yield on salty ground over that of good ground.

    Parameters
    ----------
    ece_ds_m : float
        Electrical conductivity of the saturated soil paste, mean of the root zone [dS/m].
    threshold_ds_m : float
        The most without loss [dS/m].
    slope_percent : float
        Loss beyond it [% per dS/m].

    Returns
    -------
    float
        Share, 0 to 1 [-].

    Raises
    ------
    InputError
        If a figure is negative or the slope isn't above zero.

    Notes
    -----
    Yr = 100 − b (ECe − a). It holds for grown plants on watered ground; seedlings and ground that dries out suffer
    sooner, and chloride, sodium and boron harm on their own.

    References
    ----------
    .. [1] Tanji & Kielen (2002). FAO Irrigation and Drainage Paper 61, Annex 1.

    Examples
    --------
    Date palm, almond and grape on 6, 3 and 5 dS/m:

    >>> round(100 * relative_yield(6.0, threshold_ds_m=4.0, slope_percent=3.6), 1)
    92.8
    >>> round(100 * relative_yield(3.0, threshold_ds_m=1.5, slope_percent=19.0), 1)
    71.5
    >>> round(100 * relative_yield(5.0, threshold_ds_m=1.5, slope_percent=9.6), 1)
    66.4
    """
    check_not_negative(ece_ds_m=ece_ds_m, threshold_ds_m=threshold_ds_m)
    check_positive(slope_percent=slope_percent)
    return min(1.0, max(0.0, 1.0 - slope_percent / 100.0 * (ece_ds_m - threshold_ds_m)))


def greatest_ece_ds_m(yield_share: float, *, threshold_ds_m: float, slope_percent: float) -> float:
    """Salt at which a share of the yield is left.

    Parameters
    ----------
    yield_share : float
        That share, 0 to 1 [-].
    threshold_ds_m, slope_percent : float
        As of `relative_yield`.

    Returns
    -------
    float
        Electrical conductivity of the saturated soil paste [dS/m].

    Raises
    ------
    InputError
        If the share lies outside 0 to 1 or the slope isn't above zero.

    Examples
    --------
    >>> round(greatest_ece_ds_m(0.0, threshold_ds_m=4.0, slope_percent=3.6), 1)
    31.8
    """
    check_between(0.0, 1.0, yield_share=yield_share)
    check_positive(slope_percent=slope_percent)
    return threshold_ds_m + 100.0 * (1.0 - yield_share) / slope_percent
