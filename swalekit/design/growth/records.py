"""What a planting is worked out from: the brief, and what the files that it names say."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.design.brief.brief import Brief
from swalekit.design.brief.planting_part import PlantingPart
from swalekit.errors import BriefError
from swalekit.hydrology.storm.daily_record import DailyRecord
from swalekit.planting.plants.species import Species
from swalekit.planting.weather.made_year import MonthlyNormals
from swalekit.planting.weather.weather import Weather


@one_line("weather", "rain", "species")
@dataclass(frozen=True, eq=False)
class Records:
    """What the files that a brief names say.

    Parameters
    ----------
    weather : Weather or MonthlyNormals
        Days, or monthly normals.
    rain : DailyRecord, optional
        Daily rain that goes with normals.
    species : mapping of str to Species
        The user's own species.
    beds : shapely polygon or multipolygon, optional
        Ground for annual beds, in the CRS of the terrain; none are laid when None.
    notes : tuple of str
        What a reader must know of them.
    hashes : mapping of str to str
        SHA-256 of the files that they were read from, by ``part.key`` of the brief.
    """

    weather: Weather | MonthlyNormals
    rain: DailyRecord | None = None
    species: Mapping[str, Species] = field(default_factory=dict)
    beds: BaseGeometry | None = None
    notes: tuple[str, ...] = ()
    hashes: Mapping[str, str] = field(default_factory=dict)


def names_species(part: PlantingPart) -> bool:
    """Whether a brief names any plant; if not, a palette is proposed.

    Parameters
    ----------
    part : PlantingPart
        What the brief says of the planting.

    Returns
    -------
    bool
        False where all of its lists are empty.

    Examples
    --------
    >>> names_species(PlantingPart(ground_cover=("rosemary",))), names_species(PlantingPart())
    (True, False)
    """
    return bool(part.named)


def check_growable(brief: Brief) -> None:
    """Check that a brief says what a planting needs.

    Parameters
    ----------
    brief : Brief
        The brief.

    Raises
    ------
    BriefError
        If not, naming all that is missing in one line.

    Examples
    --------
    >>> check_growable(site.brief)
    """
    part, soil = brief.planting, brief.soil
    needed = {
        "[weather] file": brief.weather.file,
        "[planting] sheltered": part.sheltered or not names_species(part),
        "[planting] planting_year": part.planting_year,
        "[soil] texture": part.texture or soil.texture,
        "[soil] intake_mm_h, infiltration_test or texture": soil.intake_mm_h or soil.infiltration_test or soil.texture,
    }
    missing = [name for name, value in needed.items() if not value]
    if missing:
        message = f"the brief lacks {', '.join(missing)}, which a planting needs; add what is missing"
        raise BriefError(message)
