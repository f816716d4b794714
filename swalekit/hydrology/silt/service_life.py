"""How long a ditch serves before its silt must be dug out."""

from dataclasses import dataclass
from math import inf

from swalekit._checks import check_between, check_not_negative
from swalekit._one_line import one_line


@one_line("silt_m3_y", "storage_m3", "clean_after_y", "design_held_y")
@dataclass(frozen=True)
class ServiceLife:
    """What silt leaves of a ditch, year by year.

    Parameters
    ----------
    silt_m3_y : float
        Silt that settles in a mean year [m³].
    storage_m3 : float
        Water that the new ditch holds [m³].
    needed_m3 : float
        Water of the design storm that it must hold [m³].
    clean_at_share : float
        Share of its storage that silt may take before it is cleaned [-].

    Raises
    ------
    InputError
        If a volume is negative or the share lies outside 0 to 1.

    Examples
    --------
    >>> life = ServiceLife(0.5, 40.0, 36.0, 0.1)
    >>> life.clean_after_y, life.design_held_y, life.storage_after_m3(20.0)
    (8.0, 8.0, 30.0)
    """

    silt_m3_y: float
    storage_m3: float
    needed_m3: float
    clean_at_share: float

    def __post_init__(self) -> None:
        check_not_negative(silt_m3_y=self.silt_m3_y, storage_m3=self.storage_m3, needed_m3=self.needed_m3)
        check_between(0.0, 1.0, clean_at_share=self.clean_at_share)

    @property
    def clean_after_y(self) -> float:
        """Years until silt has taken its share of the storage, infinite where none comes."""
        return self._years(self.clean_at_share * self.storage_m3)

    @property
    def design_held_y(self) -> float:
        """Years until the design storm no longer finds the room it needs; 0 where it doesn't from the first."""
        return self._years(max(self.storage_m3 - self.needed_m3, 0.0))

    def storage_after_m3(self, years: float) -> float:
        """Water held after so many years without cleaning.

        Parameters
        ----------
        years : float
            Mean years [y].

        Returns
        -------
        float
            Storage [m³].

        Examples
        --------
        >>> ServiceLife(0.5, 40.0, 36.0, 0.1).storage_after_m3(100.0)
        0.0
        """
        return max(self.storage_m3 - years * self.silt_m3_y, 0.0)

    def _years(self, room_m3: float) -> float:
        return room_m3 / self.silt_m3_y if self.silt_m3_y > 0 else inf
