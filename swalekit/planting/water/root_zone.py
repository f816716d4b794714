"""The root zone: water that a soil holds within reach of roots."""

from dataclasses import dataclass
from typing import Self

from swalekit._checks import check_between, check_ordered, check_positive
from swalekit._one_line import one_line
from swalekit.tables.soil_water import soil_water


@one_line("available_mm_m", "root_depth_m", "depletion_fraction")
@dataclass(frozen=True)
class RootZone:
    """Soil with roots in it.

    Parameters
    ----------
    available_mm_m : float
        Water between field capacity and wilting point [mm per m of soil].
    root_depth_m : float
        Depth of the roots, or of the soil where that is less [m].
    depletion_fraction : float
        Share of the available water that is taken without stress at 5 mm a day [-].
    rew_mm, tew_mm : float
        Readily and totally evaporable water of the topmost soil [mm].

    Raises
    ------
    InputError
        If a value isn't positive, the fraction lies outside 0.1 to 0.8, or REW exceeds TEW.

    Examples
    --------
    >>> zone = RootZone.of_texture("sandy loam", root_depth_m=1.5, depletion_fraction=0.5)
    >>> zone.total_mm, zone.ready_mm
    (195.0, 97.5)
    """

    available_mm_m: float
    root_depth_m: float
    depletion_fraction: float
    rew_mm: float
    tew_mm: float

    def __post_init__(self) -> None:
        check_positive(available_mm_m=self.available_mm_m, root_depth_m=self.root_depth_m, rew_mm=self.rew_mm)
        check_between(0.1, 0.8, depletion_fraction=self.depletion_fraction)
        check_ordered("rew_mm", self.rew_mm, "tew_mm", self.tew_mm)

    @classmethod
    def of_texture(
        cls, texture: str, *, root_depth_m: float, depletion_fraction: float, stone_share: float = 0.0
    ) -> Self:
        """Root zone of a soil by its texture.

        Parameters
        ----------
        texture : str
            Row of the table of soil water.
        root_depth_m : float
            Depth of the roots [m].
        depletion_fraction : float
            Share taken without stress [-].
        stone_share : float
            Share of the soil's volume that is stone, which holds no water, below 1 [-].

        Returns
        -------
        RootZone
            What it holds, less the share of stone.

        Raises
        ------
        InputError
            If there is no such texture, the share of stone lies outside 0 to 0.95, that taken without stress outside
            0.1 to 0.8, or the depth isn't positive.

        Examples
        --------
        >>> zone = RootZone.of_texture("sandy loam", root_depth_m=1.0, depletion_fraction=0.5)
        >>> stony = RootZone.of_texture("sandy loam", root_depth_m=1.0, depletion_fraction=0.5, stone_share=0.2)
        >>> round(stony.ready_mm / zone.ready_mm, 3)
        0.8
        """
        check_between(0.0, 0.95, stone_share=stone_share)
        row, fine = soil_water(texture), 1.0 - stone_share
        return cls(row.available_mm_m * fine, root_depth_m, depletion_fraction, row.rew_mm * fine, row.tew_mm * fine)

    @property
    def total_mm(self) -> float:
        """Total available water, TAW [mm]."""
        return self.available_mm_m * self.root_depth_m

    @property
    def ready_mm(self) -> float:
        """Readily available water at 5 mm a day, RAW [mm]."""
        return self.depletion_fraction * self.total_mm
