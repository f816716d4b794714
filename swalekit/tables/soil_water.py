"""Water that a soil holds for roots, by texture."""

from dataclasses import dataclass

from swalekit._checks import check_one_of
from swalekit.tables.load import read_table


@dataclass(frozen=True)
class SoilWaterRow:
    """What a soil holds.

    Parameters
    ----------
    texture : str
        Texture class.
    available_mm_m : float
        Water between field capacity and wilting point [mm per m of soil].
    rew_mm, tew_mm : float
        Readily and totally evaporable water of the topmost 10 cm [mm].
    source : str
        Publication and table.
    """

    texture: str
    available_mm_m: float
    rew_mm: float
    tew_mm: float
    source: str

    def __str__(self) -> str:
        return f"{self.texture}: {self.available_mm_m:g} mm/m ({self.source})"


def soil_water(texture: str) -> SoilWaterRow:
    """Water of a texture, the middle of each published range.

    Parameters
    ----------
    texture : str
        Texture class, as ``sandy loam``.

    Returns
    -------
    SoilWaterRow
        Available water [mm/m], readily and totally evaporable water [mm], and the source.

    Raises
    ------
    InputError
        If the texture is unknown; the nearest is offered.

    Notes
    -----
    For soil without stones: a share of stones takes that share off.

    References
    ----------
    .. [1] Allen, Pereira, Raes & Smith (1998). FAO Irrigation and Drainage Paper 56, Table 19.

    Examples
    --------
    >>> soil_water("sandy loam").available_mm_m
    130.0
    """
    rows = {row["texture"]: row for row in read_table("soil_water")}
    check_one_of(tuple(rows), texture=texture)
    row = rows[texture]
    available, rew, tew = (
        0.5 * (float(row[f"least_{name}"]) + float(row[f"greatest_{name}"]))
        for name in ("available", "rew_mm", "tew_mm")
    )
    return SoilWaterRow(texture, round(1000.0 * available, 6), rew, tew, row["source"])
