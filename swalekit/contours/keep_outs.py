"""Ground that a line must keep away from."""

from dataclasses import dataclass
from functools import cached_property

from shapely import Geometry

from swalekit._checks import check_not_negative, check_one_of
from swalekit.errors import GeometryError

KEEP_OUT_KINDS = ("building", "septic field", "well", "buried utility", "property line", "road", "tree")


@dataclass(frozen=True)
class KeepOut:
    """A thing on the ground with its setback.

    Parameters
    ----------
    kind : str
        One of `KEEP_OUT_KINDS`.
    geometry : shapely geometry
        Where it is, in the site's CRS [m].
    setback_m : float
        Least distance from it to a line [m].
    name : str
        What the client calls it.

    Raises
    ------
    InputError
        If the kind is unknown or the setback negative.
    GeometryError
        If the geometry with its setback covers no ground.

    Examples
    --------
    >>> from shapely import Point
    >>> well = KeepOut("well", Point(0.0, 0.0), 30.0, "old well")
    >>> well.label, [round(each) for each in well.zone.bounds]
    ("well 'old well', setback 30 m", [-30, -30, 30, 30])
    """

    kind: str
    geometry: Geometry
    setback_m: float
    name: str = ""

    def __post_init__(self) -> None:
        check_one_of(KEEP_OUT_KINDS, kind=self.kind)
        check_not_negative(setback_m=self.setback_m)
        if self.zone.is_empty:
            message = (
                f"keep-out {self.label} covers no ground: its geometry is a {self.geometry.geom_type}; "
                "give it a setback greater than zero or draw it as a polygon"
            )
            raise GeometryError(message)

    @cached_property
    def zone(self) -> Geometry:
        """The thing and its setback around it."""
        return self.geometry.buffer(self.setback_m)

    @property
    def title(self) -> str:
        """Kind and name in words."""
        return f"{self.kind} '{self.name}'" if self.name.lower() not in {"", self.kind} else self.kind

    @property
    def label(self) -> str:
        """Kind, name and setback in words."""
        return f"{self.title}, setback {self.setback_m:g} m"
