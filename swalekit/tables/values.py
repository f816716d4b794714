"""Look-ups in the tables that hold one number a name."""

from swalekit._checks import check_one_of
from swalekit.tables.load import TableRow, named_row, read_table


def swell(material: str) -> TableRow:
    """Growth in volume from bank to loose [%].

    Parameters
    ----------
    material : str
        Row of the table, as ``earth``.

    Returns
    -------
    TableRow
        Swell [%] and its source.

    Raises
    ------
    InputError
        If the table has no such row; the nearest is offered.

    Examples
    --------
    >>> swell("earth").value
    25.0
    """
    return named_row("swell", material=material)


def setback(kind: str) -> TableRow:
    """Distance to keep between a ditch and what stands there already [m].

    Parameters
    ----------
    kind : str
        Kind of keep-out, as ``well``.

    Returns
    -------
    TableRow
        Distance [m] and its source.

    Raises
    ------
    InputError
        If the table has no such row; the nearest is offered.

    Examples
    --------
    >>> setback("well").value
    30.0
    """
    return named_row("setbacks", kind=kind)


def soil_intake(texture: str) -> TableRow:
    """Steady intake of a ponded soil by texture, the Green–Ampt conductivity [mm/h].

    Parameters
    ----------
    texture : str
        Texture class, as ``sandy loam``.

    Returns
    -------
    TableRow
        Intake [mm/h] and its source.

    Raises
    ------
    InputError
        If the table has no such row; the nearest is offered.

    Notes
    -----
    The mean of many samples; a soil of the same texture may take in ten times more or less. Test on site.

    References
    ----------
    .. [1] Rawls, Brakensiek & Miller (1983). J. Hydraul. Eng. 109(1), Table 2.

    Examples
    --------
    >>> soil_intake("sandy loam").value
    10.9
    """
    return named_row("soil_intake", texture=texture)


def terrain_accuracy(kind: str) -> TableRow:
    """Standard error of a height by kind of terrain model [m].

    Parameters
    ----------
    kind : str
        Kind of terrain model, as ``glo-30``.

    Returns
    -------
    TableRow
        Standard error [m] and its source.

    Raises
    ------
    InputError
        If the table has no such row; the nearest is offered.

    Examples
    --------
    >>> terrain_accuracy("glo-30").value
    2.43
    """
    return named_row("terrain_accuracy", kind=kind)


def weir_coefficient(crest: str) -> TableRow:
    """Discharge coefficient C of a broad crest in Q = C L H^1.5 [m^0.5/s].

    Parameters
    ----------
    crest : str
        Kind of crest, as ``grass``.

    Returns
    -------
    TableRow
        C [m^0.5/s] and its source.

    Raises
    ------
    InputError
        If the table has no such row; the nearest is offered.

    Examples
    --------
    >>> weir_coefficient("ideal").value
    1.705
    """
    return named_row("weirs", crest=crest)


def site_limit(name: str) -> TableRow:
    """A limit of what ground suits, as a first look at a site goes by.

    Parameters
    ----------
    name : str
        Row of the table, as ``slip slope``.

    Returns
    -------
    TableRow
        Limit and its source.

    Raises
    ------
    InputError
        If the table has no such row; the nearest is offered.

    Examples
    --------
    >>> print(site_limit("slip slope"))
    slip slope: 35 % (common practice: no water is let into ground so steep without an engineer's word)
    """
    return named_row("site_limits", name=name)


def level_spreader(name: str) -> TableRow:
    """A figure of practice for sills that spread water: how long they are built, how level they come out.

    Parameters
    ----------
    name : str
        Row of the table, as ``longest``.

    Returns
    -------
    TableRow
        Figure and its source.

    Raises
    ------
    InputError
        If the table has no such row; the nearest is offered.

    Examples
    --------
    >>> level_spreader("longest").value
    40.0
    """
    return named_row("level_spreader", name=name)


def soil_group(texture: str) -> str:
    """Hydrologic soil group of a texture.

    Parameters
    ----------
    texture : str
        Texture class, as ``sandy loam``.

    Returns
    -------
    str
        ``A`` to ``D``; a layer below that holds water up, or bare and sealed soil, puts it lower.

    Raises
    ------
    InputError
        If the table has no such row; the nearest is offered.

    References
    ----------
    .. [1] USDA SCS (1986). Urban Hydrology for Small Watersheds, TR-55, Appendix A.

    Examples
    --------
    >>> soil_group("loam"), soil_group("clay")
    ('B', 'D')
    """
    rows = {row["texture"]: row["group"] for row in read_table("soil_groups")}
    check_one_of(tuple(rows), texture=texture)
    return rows[texture]


def crossing_width(use: str) -> TableRow:
    """Width that a way across a swale is kept clear for, by what passes [m].

    Parameters
    ----------
    use : str
        What passes, as ``livestock``.

    Returns
    -------
    TableRow
        Width [m] and its source.

    Raises
    ------
    InputError
        If the table has no such row; the nearest is offered.

    Examples
    --------
    >>> crossing_width("track").value
    4.0
    """
    return named_row("crossings", use=use)
