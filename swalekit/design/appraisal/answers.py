"""What is known of a site before anything is measured, and what is guessed where nothing is."""

from dataclasses import dataclass

from swalekit._checks import check_between, check_one_of
from swalekit._one_line import one_line
from swalekit.tables.values import soil_intake

PURPOSES = ("trees", "grazing", "erosion")
"""What swales are for: rows of trees, pasture that is driven over, or keeping soil and water on the slope."""


@one_line("purpose", "storm_mm", "texture", "bucket_m")
@dataclass(frozen=True)
class Answers:
    """What is known of a site; what is None is guessed, and marked as a guess.

    Parameters
    ----------
    storm_mm : float, optional
        Depth of rain to hold [mm].
    texture : str, optional
        Texture of the soil, a row of the intake table.
    bucket_m : float, optional
        Width of the bucket that digs the ditch's floor [m].
    house : tuple of float, optional
        Latitude and longitude of a house to keep clear of [degrees]; empty where there is none.
    purpose : str, optional
        ``trees``, ``grazing`` or ``erosion``.
    rain_year_mm : float, optional
        Rain of an average year [mm].

    Raises
    ------
    InputError
        If a value can't be.
    """

    storm_mm: float | None = None
    texture: str | None = None
    bucket_m: float | None = None
    house: tuple[float, ...] | None = None
    purpose: str | None = None
    rain_year_mm: float | None = None

    def __post_init__(self) -> None:
        for limits, name in (((1.0, 1000.0), "storm_mm"), ((0.2, 5.0), "bucket_m"), ((1.0, 15_000.0), "rain_year_mm")):
            if (value := getattr(self, name)) is not None:
                check_between(*limits, **{name: value})
        if self.texture is not None:
            soil_intake(self.texture)
        if self.purpose is not None:
            check_one_of(PURPOSES, purpose=self.purpose)
        if self.house:
            latitude, longitude = self.house
            check_between(-90.0, 90.0, latitude=latitude)
            check_between(-180.0, 180.0, longitude=longitude)


USUAL = Answers(storm_mm=50.0, texture="loam", bucket_m=0.6, house=(), purpose="trees")
"""What is guessed where there is no answer: our choice."""
