"""Conversions between SI, which is used throughout, and the US units accepted at the edge.

Lengths follow the international foot (0.3048 m exactly), which differs from the US survey foot by
2 parts in a million.
"""

METRES_PER_FOOT = 0.3048
METRES_PER_US_SURVEY_FOOT = 1200.0 / 3937.0
MM_PER_INCH = 25.4
M2_PER_ACRE = 4046.8564224
M2_PER_HECTARE = 10_000.0
M3_PER_CUBIC_YARD = 0.764554857984
LITRES_PER_GALLON = 3.785411784

METRES_PER: dict[str, float] = {"m": 1.0, "ft": METRES_PER_FOOT, "us-ft": METRES_PER_US_SURVEY_FOOT}
"""Metres in a metre, an international foot, and a US survey foot, by the names that files and briefs give them."""

UNIT_SUFFIXES: dict[str, tuple[str, float]] = {
    "ft": ("m", METRES_PER_FOOT),
    "ft2": ("m2", METRES_PER_FOOT**2),
    "acres": ("m2", M2_PER_ACRE),
    "ha": ("m2", M2_PER_HECTARE),
    "in": ("mm", MM_PER_INCH),
    "in_h": ("mm_h", MM_PER_INCH),
    "yd3": ("m3", M3_PER_CUBIC_YARD),
    "per_yd3": ("per_m3", 1.0 / M3_PER_CUBIC_YARD),
    "per_ft": ("per_m", 1.0 / METRES_PER_FOOT),
    "yd3_per_h": ("m3_per_h", M3_PER_CUBIC_YARD),
}
"""Suffix of a brief's key -> the SI suffix it stands for and the factor that makes one of the other."""


_US = {
    "m": ("ft", METRES_PER_FOOT),
    "mm": ("in", MM_PER_INCH),
    "mm/h": ("in/h", MM_PER_INCH),
    "m2": ("acres", M2_PER_ACRE),
    "m3": ("yd3", M3_PER_CUBIC_YARD),
    "L": ("gal", LITRES_PER_GALLON),
    "L/d": ("gal/d", LITRES_PER_GALLON),
}
"""SI unit -> the US unit it is shown in, and how much of SI that is."""


_NAMES = {"m2": "m²", "m3": "m³", "m3/s": "m³/s", "yd3": "yd³"}
_MORE_DIGITS = {"acres": 2, "in": 1, "in/h": 1}


def to_us(value: float, unit: str) -> tuple[float, str]:
    """Value and unit name as shown to a reader who works in US units.

    Parameters
    ----------
    value : float
        Value in the SI unit named by ``unit``.
    unit : str
        One of ``m``, ``mm``, ``m2``, ``m3``, ``mm/h``, ``L``, ``L/d``; any other unit is returned unchanged.

    Returns
    -------
    float
        Value in the unit that is shown.
    str
        Name of that unit: ``ft``, ``in``, ``acres``, ``yd3``, ``in/h``, ``gal``, ``gal/d``, or the one given.

    Examples
    --------
    >>> to_us(0.6096, "m")
    (2.0, 'ft')
    >>> to_us(25.4, "mm")
    (1.0, 'in')
    """
    name, size = _US.get(unit, (unit, 1.0))
    return value / size, name


def with_unit(value: float, unit: str, *, units: str, decimals: int = 0) -> str:
    """Number with its unit, as a reader sees it.

    Parameters
    ----------
    value : float
        In SI.
    unit : str
        SI unit of the value, as `to_us` knows it.
    units : str
        ``metric`` or ``us``.
    decimals : int
        Digits after the point in SI; acres get two more than square metres, inches one more than millimetres.

    Returns
    -------
    str
        Number, with commas between thousands, and unit.

    Examples
    --------
    >>> with_unit(1234.5, "m3", units="metric"), with_unit(25.4, "mm", units="us", decimals=1)
    ('1,234 m³', '1.00 in')
    """
    number, name = to_us(value, unit) if units == "us" else (value, unit)
    decimals += _MORE_DIGITS.get(name, 0)
    return f"{number:,.{decimals}f} {_NAMES.get(name, name)}".strip()


def name_of_unit(unit: str, *, units: str) -> str:
    """Unit as a reader sees it.

    Parameters
    ----------
    unit : str
        SI unit, as `to_us` knows it.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        The reader's unit.

    Examples
    --------
    >>> name_of_unit("m3", units="us")
    'yd³'
    """
    name = to_us(0.0, unit)[1] if units == "us" else unit
    return _NAMES.get(name, name)
