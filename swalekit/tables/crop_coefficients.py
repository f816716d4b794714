"""Crop coefficients and growth stages of FAO-56, and of later papers on crops of dry ground."""

from dataclasses import dataclass, replace
from difflib import get_close_matches

from swalekit._checks import check_between, check_one_of, check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.tables.load import named_row, read_table


@one_line("name", "days", "source")
@dataclass(frozen=True)
class StageRow:
    """Lengths of the four growth stages.

    Parameters
    ----------
    name : str
        Crop and region.
    days : tuple of int
        Days of the initial, development, mid-season and late stage.
    start_month : int
        Month in which the initial stage begins north of the equator, 1 to 12.
    source : str
        Publication and table.

    Raises
    ------
    InputError
        If the month lies outside 1 to 12, or all stages together are no day or more than a year long.
    """

    name: str
    days: tuple[int, int, int, int]
    start_month: int
    source: str

    def __post_init__(self) -> None:
        check_between(1, 12, start_month=self.start_month)
        check_between(1, 366, days_of_all_stages=sum(self.days))


@one_line("crop", "kcb", "height_m")
@dataclass(frozen=True)
class CropRow:
    """Crop coefficients, height and rooting of a crop.

    Parameters
    ----------
    crop : str
        What the row stands for.
    kc, kcb : tuple of float, or None
        Single and basal coefficient at the initial stage, in mid-season and at the end [-]; None where not published.
    height_m : float
        Height of the mature crop [m].
    cover : float
        Share of the ground under canopies at which the coefficients hold [-].
    root_depth_m : tuple of float, or None
        Least and greatest rooting depth [m].
    depletion_fraction : float or None
        Share of the available water that can be taken before the crop suffers, at 5 mm a day [-].
    stages : StageRow or None
        Lengths of its stages.
    source : str
        Publication and table.
    assumed : bool
        Whether coefficients or stages are those of a class of crops, or reckoned from the height, since none are
        published for the crop itself.

    Raises
    ------
    InputError
        If a coefficient lies outside 0 to 2 or the height isn't positive.
    """

    crop: str
    kc: tuple[float, float, float] | None
    kcb: tuple[float, float, float] | None
    height_m: float
    cover: float = 1.0
    root_depth_m: tuple[float, float] | None = None
    depletion_fraction: float | None = None
    stages: StageRow | None = None
    source: str = "given by the user"
    assumed: bool = False

    def __post_init__(self) -> None:
        check_positive(height_m=self.height_m, cover=self.cover)
        for name, values in (("kc", self.kc), ("kcb", self.kcb)):
            for stage, value in zip(("ini", "mid", "end"), values or (), strict=False):
                check_between(0.0, 2.0, **{f"{name}_{stage}": value})

    def __str__(self) -> str:
        kc, kcb = ("/".join(f"{value:.2f}" for value in values) if values else "-" for values in (self.kc, self.kcb))
        return f"{self.crop}: Kc {kc}, Kcb {kcb} ({self.source})"


def crops() -> tuple[str, ...]:
    """Name every crop of the table, in its order.

    Returns
    -------
    tuple of str
        What `crop_row` takes.

    Examples
    --------
    >>> "olive" in crops()
    True
    """
    return tuple(_rows())


def growth_stages(name: str) -> StageRow:
    """Stage lengths of a crop in a region.

    Parameters
    ----------
    name : str
        Crop and region, as the table has it.

    Returns
    -------
    StageRow
        Days of each stage, month of the first, and the source.

    Raises
    ------
    InputError
        If the table has no such row; the nearest is offered.

    References
    ----------
    .. [1] Allen, Pereira, Raes & Smith (1998). FAO Irrigation and Drainage Paper 56, Table 11.

    Examples
    --------
    >>> growth_stages("olive").days
    (30, 90, 60, 90)
    """
    rows = {row["name"]: row for row in read_table("growth_stages")}
    check_one_of(tuple(rows), stages=name)
    row = rows[name]
    ini, dev, mid, late = (int(row[f"{stage}_days"]) for stage in ("ini", "dev", "mid", "late"))
    return StageRow(name, (ini, dev, mid, late), int(row["start_month"]), row["source"])


def crop_row(crop: str) -> CropRow:
    """Published coefficients of a crop.

    Parameters
    ----------
    crop : str
        One of `crops`.

    Returns
    -------
    CropRow
        With its source.

    Raises
    ------
    InputError
        If nothing is published for the crop; near names are offered.

    Notes
    -----
    For a subhumid climate, least relative humidity 45 % and wind 2 m/s. Trees stand in orchards of full yield; where
    the table doesn't say how much of the ground they cover, half is taken.

    References
    ----------
    .. [1] Allen, Pereira, Raes & Smith (1998). FAO Irrigation and Drainage Paper 56, Tables 12, 17 and 22.

    Examples
    --------
    >>> print(crop_row("almond, no cover"))
    almond, no cover: Kc 0.40/0.90/0.65, Kcb 0.20/0.85/0.60 (FAO-56 (1998) Tables 12, 17 and 22, as transcribed in
    pyfao56 1.4.3 and the R package FAO56)
    """
    rows = _rows()
    if crop not in rows:
        near = get_close_matches(crop, rows, n=3, cutoff=0.5)
        hint = f", or take one of: {'; '.join(near)}" if near else ""
        message = f"no crop coefficient is published for '{crop}'; give its kcb_ini, kcb_mid and kcb_end{hint}"
        raise InputError(message)
    row = rows[crop]
    return CropRow(
        crop,
        _three(row, "kc"),
        _three(row, "kcb"),
        float(row["height_m"]),
        float(row["cover"] or named_row("evapotranspiration", constant="orchard cover").value),
        (float(row["least_root_depth_m"]), float(row["greatest_root_depth_m"])) if row["least_root_depth_m"] else None,
        float(row["depletion_fraction"]) if row["depletion_fraction"] else None,
        growth_stages(row["stages"]) if row["stages"] else None,
        row["source"],
    )


def class_row(leaf: str) -> CropRow:
    """Coefficients of a class of trees, for a species of which none are published.

    Parameters
    ----------
    leaf : str
        ``deciduous`` or ``evergreen``.

    Returns
    -------
    CropRow
        Marked as assumed, with its source.

    Raises
    ------
    InputError
        If there is no such class.

    Examples
    --------
    >>> class_row("deciduous").kcb, class_row("evergreen").assumed
    ((0.35, 0.85, 0.6), True)
    """
    row = _class(leaf)
    return replace(crop_row(row["crop"]), source=row["source"], assumed=True)


def with_class_stages(row: CropRow, leaf: str) -> CropRow:
    """A row with the stages of its class, where its coefficients change through the year and no stages are published.

    Parameters
    ----------
    row : CropRow
        Coefficients of a crop.
    leaf : str
        ``deciduous`` or ``evergreen``.

    Returns
    -------
    CropRow
        The row itself where it lacks nothing.

    Raises
    ------
    InputError
        If there is no such class.

    Examples
    --------
    >>> with_class_stages(crop_row("date palm"), "evergreen").stages.name
    'citrus, Mediterranean'
    """
    if row.stages is not None or row.kcb is None or len(set(row.kcb)) == 1:
        return row
    stages = growth_stages(_class(leaf)["stages"])
    return replace(row, stages=stages, source=f"{row.source}; stages of {stages.name}, assumed", assumed=True)


def mid_season_coefficient(crop: str) -> float:
    """Published single coefficient of a crop in mid-season [-].

    Parameters
    ----------
    crop : str
        One of `crops`.

    Returns
    -------
    float
        Single coefficient Kc in mid-season [-].

    Raises
    ------
    InputError
        If none is published.

    Examples
    --------
    >>> mid_season_coefficient("reed swamp, moist soil")
    1.2
    """
    kc = crop_row(crop).kc
    if kc is None:
        message = f"no single crop coefficient is published for '{crop}' in FAO-56"
        raise InputError(message)
    return kc[1]


def _rows() -> dict[str, dict[str, str]]:
    """Rows of FAO-56 and of later papers by crop."""
    return {row["crop"]: row for table in ("crop_coefficients", "dryland_coefficients") for row in read_table(table)}


def _class(leaf: str) -> dict[str, str]:
    classes = {row["leaf"]: row for row in read_table("crop_classes")}
    check_one_of(tuple(classes), leaf=leaf)
    return classes[leaf]


def _three(row: dict[str, str], kind: str) -> tuple[float, float, float] | None:
    """Coefficients of the three stages, None where not published."""
    printed = [row[f"{kind}_{stage}"] for stage in ("ini", "mid", "end")]
    return (float(printed[0]), float(printed[1]), float(printed[2])) if all(printed) else None
