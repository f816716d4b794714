"""Losses as they could be: the ground keeps more or less than expected."""

from dataclasses import replace
from math import log
from statistics import NormalDist

from swalekit.errors import InputError
from swalekit.hydrology.losses.curve_number import retention_mm
from swalekit.hydrology.losses.losses import ConstantLoss, CurveNumberLoss, GreenAmptLoss, Loss, RunoffCoefficient
from swalekit.tables.load import named_rows


def natural_retention_sigma() -> float:
    """Standard deviation of ln S from storm to storm, S being the retention of the curve number.

    Notes
    -----
    Antecedent runoff conditions I and III stand for the storms that run off least and most of ten [1]_, and their
    retentions are 2.281 and 0.427 times that of condition II [2]_: ln(2.281 / 0.427) spans 2 × 1.2816 deviations.

    References
    ----------
    .. [1] Hjelmfelt, Kramer & Burwell (1982). Curve numbers as random variables.
    .. [2] Hawkins, Hjelmfelt & Zevenbergen (1985). J. Irrig. Drain. Eng. 111(4).

    Examples
    --------
    >>> round(natural_retention_sigma(), 3)
    0.654
    """
    rows = named_rows("uncertainty")
    dry, wet = rows["retention on dry ground"].value, rows["retention on wet ground"].value
    return log(dry / wet) / (2.0 * NormalDist().inv_cdf((1.0 + rows["storms between dry and wet"].value) / 2.0))


def drawn_loss(loss: Loss, factor: float) -> Loss:
    """The loss of ground that keeps more, or less, than expected.

    Parameters
    ----------
    loss : Loss
        As expected.
    factor : float
        What is multiplied, above zero: the curve number's retention S, Green and Ampt's conductivity, both figures of a
        constant loss, and for a runoff coefficient the odds of rain staying.

    Returns
    -------
    Loss
        Of the same method.

    Raises
    ------
    InputError
        If the method has no rule here.

    Examples
    --------
    >>> print(drawn_loss(CurveNumberLoss(80.0), 2.0), "|", drawn_loss(RunoffCoefficient(0.5), 3.0))
    curve number 66.6667 | runoff coefficient 0.25
    """
    match loss:
        case CurveNumberLoss():
            retention = factor * float(retention_mm(loss.curve_number))
            return replace(loss, curve_number=25400.0 / (254.0 + retention))
        case GreenAmptLoss():
            return replace(loss, conductivity_mm_h=factor * loss.conductivity_mm_h)
        case ConstantLoss():
            return replace(loss, initial_mm=factor * loss.initial_mm, rate_mm_h=factor * loss.rate_mm_h)
        case RunoffCoefficient():
            share = loss.coefficient
            return replace(loss, coefficient=share / (share + factor * (1.0 - share)))
        case _:
            message = f"{type(loss).__name__} has no rule for ground that keeps more; use one of swalekit's methods"
            raise InputError(message)
