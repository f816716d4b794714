"""How much garden a flow of greywater carries."""

from swalekit._checks import check_not_negative, check_positive
from swalekit.tables.load import named_row


def wicking_factor() -> float:
    """Water of a wicking bed over that of an open one; common practice [-].

    Examples
    --------
    >>> wicking_factor()
    0.5
    """
    return named_row("greywater_practice", practice="wicking bed").value


def garden_m2(
    flow_m3_d: float, reference_et_mm: float, crop_coefficient: float, *, rain_mm: float = 0.0, factor: float = 1.0
) -> float:
    """Garden whose want a flow meets.

    Parameters
    ----------
    flow_m3_d : float
        Water a day behind the bed [m³/d].
    reference_et_mm : float
        Reference evapotranspiration of the month looked at [mm/d].
    crop_coefficient : float
        Of what grows there [-].
    rain_mm : float
        Rain that the soil takes in, a day [mm/d].
    factor : float
        `wicking_factor` for wicking beds, 1 for open soil [-].

    Returns
    -------
    float
        Area [m²]; infinite where rain alone is enough.

    Raises
    ------
    InputError
        If a value is out of its range.

    Examples
    --------
    >>> round(garden_m2(0.6, 7.0, 0.9), 1), round(garden_m2(0.6, 7.0, 0.9, factor=wicking_factor()), 1)
    (95.2, 190.5)
    """
    check_positive(
        flow_m3_d=flow_m3_d, reference_et_mm=reference_et_mm, crop_coefficient=crop_coefficient, factor=factor
    )
    check_not_negative(rain_mm=rain_mm)
    wanted_mm = factor * reference_et_mm * crop_coefficient - rain_mm
    return 1000.0 * flow_m3_d / wanted_mm if wanted_mm > 0.0 else float("inf")


def bed_loss_m3_d(area_m2: float, reference_et_mm: float, reed_coefficient: float) -> float:
    """Water that the reeds themselves use [m³/d].

    Notes
    -----
    FAO-56 Table 12 gives 1.20 for a reed swamp in mid-season; a small bed amid dry ground uses more.

    Examples
    --------
    >>> round(bed_loss_m3_d(11.0, 7.0, 1.2), 3)
    0.092
    """
    check_positive(area_m2=area_m2, reed_coefficient=reed_coefficient)
    check_not_negative(reference_et_mm=reference_et_mm)
    return area_m2 * reference_et_mm * reed_coefficient / 1000.0
