"""Where on the earth a terrain file lies, and the unit of its heights."""

from pyproj import CRS, Transformer
from pyproj.exceptions import ProjError

from swalekit.errors import TerrainError
from swalekit.units import METRES_PER

_SPELLINGS = {
    "m": ("m", "metre", "metres", "meter", "meters"),
    "ft": ("ft", "foot", "feet", "international foot", "international feet"),
    "us-ft": ("us-ft", "us_ft", "ftus", "us survey foot", "us survey feet", "foot_us", "us_survey_foot"),
}


def earthly(crs: CRS | None) -> CRS | None:
    """A CRS if it says where on the earth a place is.

    Parameters
    ----------
    crs : CRS or None
        What a file names.

    Returns
    -------
    CRS or None
        The CRS; None for one of a drawing or one that leads to no longitude and latitude, as for none.

    Examples
    --------
    >>> earthly(CRS.from_epsg(32630)).name
    'WGS 84 / UTM zone 30N'
    """
    if crs is None or not (crs.is_projected or crs.is_geographic):
        return None
    try:
        Transformer.from_crs(crs, "EPSG:4326")
    except ProjError:
        return None
    return crs


def settled_crs(name: str, own: CRS | None, given: CRS | None, *, beside: str = "") -> tuple[CRS, list[str]]:
    """CRS of a terrain file: its own, else the one that was given.

    Parameters
    ----------
    name : str
        Path as the user gave it.
    own : CRS or None
        What the file names.
    given : CRS or None
        Taken if it names none.
    beside : str
        Another way out, for the message.

    Returns
    -------
    crs : CRS
        The CRS, with its vertical part if it has one.
    notes : list of str
        A note if it was not the file's.

    Raises
    ------
    TerrainError
        If there is neither.

    Examples
    --------
    >>> settled_crs("hill.tif", None, CRS.from_epsg(32630))[1]
    ['the file names no CRS; taken as WGS 84 / UTM zone 30N, as given']
    """
    if own is not None:
        return own, []
    if given is not None:
        return given, [f"the file names no CRS; taken as {given.name}, as given"]
    message = (
        f"terrain '{name}' has no coordinate reference system; give one: "
        f'crs = "EPSG:32612" under [terrain] in the brief, or --crs EPSG:32612{beside}'
    )
    raise TerrainError(message)


def height_unit(name: str, crs: CRS, *, declared: str, given: str | None) -> tuple[float, list[str]]:
    """Length of the unit of a terrain file's heights.

    Parameters
    ----------
    name : str
        Path as the user gave it.
    crs : CRS
        Its CRS, with the vertical part if it has one.
    declared : str
        How the file spells its unit beside the CRS; empty if it doesn't.
    given : str or None
        ``m``, ``ft`` or ``us-ft``; goes before what the file says.

    Returns
    -------
    metres_per_unit : float
        Length of the unit [m].
    notes : list of str
        A note if it isn't the metre.

    Raises
    ------
    TerrainError
        If the unit is unknown, or left open under a map in feet.

    Examples
    --------
    >>> height_unit("hill.tif", CRS.from_epsg(32630), declared="US survey foot", given=None)
    (0.3048006096012192, ['heights converted to metres, 0.3048006 m a unit'])
    """
    spelled_low = declared.lower()
    unit = given or next((unit for unit, spelled in _SPELLINGS.items() if spelled_low in spelled), None)
    if unit is not None:
        factor = METRES_PER[unit]
    elif declared:
        message = f"terrain '{name}' gives its heights in '{declared}'; name the unit: vertical_unit = m, ft or us-ft"
        raise TerrainError(message)
    elif crs.is_compound:
        factor = float(crs.sub_crs_list[1].axis_info[0].unit_conversion_factor)
    elif crs.is_projected and crs.axis_info[0].unit_conversion_factor != 1.0:
        message = (
            f"terrain '{name}' has a map in {crs.axis_info[0].unit_name} and leaves the unit of its heights open; "
            "name it: vertical_unit = m, ft or us-ft"
        )
        raise TerrainError(message)
    else:
        factor = 1.0
    return factor, [] if factor == 1.0 else [f"heights converted to metres, {factor:.7g} m a unit"]
