"""What organic mulch saves."""

from swalekit._checks import check_between, check_ordered
from swalekit.tables.load import named_row


def evaporation_factor(cover: float) -> float:
    """Evaporation from soil under mulch over that from bare soil.

    Parameters
    ----------
    cover : float
        Share of the ground that is mulched, 0 to 1 [-].

    Returns
    -------
    float
        1 without mulch, 0.5 under full cover [-].

    Notes
    -----
    About 5 % less for each 10 % of the surface covered. A guide: depth and kind of mulch matter.

    References
    ----------
    .. [1] FAO-56 (1998) ch. 10, organic mulches.

    Examples
    --------
    >>> evaporation_factor(0.5)
    0.75
    """
    check_between(0.0, 1.0, mulch_cover=cover)
    return 1.0 - named_row("evapotranspiration", constant="evaporation cut by full mulch").value * cover


def mulched_kc_ini(kc_ini: float, cover: float) -> float:
    """Initial crop coefficient, all of it evaporation, under mulch [-].

    References
    ----------
    .. [1] FAO-56 (1998) ch. 10: 25 % less where half the surface is covered.

    Examples
    --------
    >>> round(mulched_kc_ini(0.60, 0.5), 3)
    0.45
    """
    check_between(0.0, 2.0, kc_ini=kc_ini)
    return kc_ini * evaporation_factor(cover)


def mulched_kc_mid(kc_mid: float, kcb_mid: float, cover: float) -> float:
    """Mid-season crop coefficient under mulch, which saves on evaporation alone [-].

    References
    ----------
    .. [1] FAO-56 (1998) ch. 10: less by a quarter of Kc mid − Kcb mid where half the surface is covered.

    Examples
    --------
    >>> round(mulched_kc_mid(0.90, 0.80, 0.5), 3)
    0.875
    """
    check_ordered("kcb_mid", kcb_mid, "kc_mid", kc_mid)
    return kcb_mid + (kc_mid - kcb_mid) * evaporation_factor(cover)
