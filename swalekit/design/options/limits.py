"""Limits that an option must keep to: those of the brief, and others that are asked for."""

from collections.abc import Sequence
from dataclasses import dataclass

from swalekit._checks import check_between, check_positive
from swalekit._one_line import one_line
from swalekit.design.brief.settings import rates_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.options.option import Option
from swalekit.errors import InputError
from swalekit.hydrology.routing.routing import LONGEST_H

STORM, STANDING, FILL, CHECK_STORM = "design storm", "standing water", "greatest fill", "check storm"
"""Limits of every brief: the storm held, the time until dry, the height of fill, and no berm overtopped."""

_TRIFLE = 1e-9


@one_line("slopes", "greatest_depth_m", "budget", "greatest_length_m", "least_kept_share")
@dataclass(frozen=True)
class Limits:
    """What an option must keep to besides the brief's own limits; None where there is no limit.

    Parameters
    ----------
    slopes : tuple of float, optional
        Gentlest and steepest ground that may get a line [m/m]; it takes the place of the brief's.
    greatest_depth_m : float, optional
        No swale may be dug deeper at its stake [m].
    budget : float, optional
        Greatest cost.
    length_a_day_m : float, optional
        Length of swale that the crew builds in a day [m].
    days : float, optional
        Days in which it must be built; goes with the length a day.
    least_kept_share : float, optional
        Share of the water that the design storm brings which must stay on the site [-], above 0 and at most 1.

    Raises
    ------
    InputError
        If a limit isn't positive, a share is above one, or length a day and days are not given together.
    """

    slopes: tuple[float, float] | None = None
    greatest_depth_m: float | None = None
    budget: float | None = None
    length_a_day_m: float | None = None
    days: float | None = None
    least_kept_share: float | None = None

    def __post_init__(self) -> None:
        for name in ("greatest_depth_m", "budget", "length_a_day_m", "days", "least_kept_share"):
            value = getattr(self, name)
            if value is not None:
                check_positive(**{name: value})
        if self.least_kept_share is not None:
            check_between(0.0, 1.0, least_kept_share=self.least_kept_share)
        if (self.length_a_day_m is None) != (self.days is None):
            message = "a length a day and the days there are go together; give both or none"
            raise InputError(message)

    @property
    def greatest_length_m(self) -> float | None:
        """Length that can be built in the days there are [m]."""
        return None if self.length_a_day_m is None or self.days is None else self.length_a_day_m * self.days


NO_LIMITS = Limits()


def within_slopes(site: Site, limits: Limits) -> Site:
    """The site with the slope window of the limits.

    Parameters
    ----------
    site : Site
        The site.
    limits : Limits
        The limits.

    Returns
    -------
    Site
        The site itself where the limits have no window.

    Raises
    ------
    InputError
        If the window is empty, or there is a budget and no price.

    Examples
    --------
    >>> within_slopes(site, Limits(slopes=(0.02, 0.2))).brief.lines.greatest_slope
    0.2
    """
    rates = rates_of(site)
    if limits.budget is not None and rates.machine_per_h is rates.dig_per_m3 is rates.swale_per_m is None:
        message = "a budget needs prices: give machine_per_h, dig_per_m3 or swale_per_m under [rates] of a brief"
        raise InputError(message)
    if limits.slopes is None:
        return site
    return site.with_values({"lines.least_slope": limits.slopes[0], "lines.greatest_slope": limits.slopes[1]})


def excesses(option: Option, site: Site, limits: Limits) -> dict[str, float]:
    """What an option breaks, and by how much.

    Parameters
    ----------
    option : Option
        The option.
    site : Site
        Its brief has limits of its own: the design storm is held, every ditch is dry in time, no fill is higher than
        allowed, and the check storm goes over no berm.
    limits : Limits
        The limits.

    Returns
    -------
    dict
        Name of the limit -> share by which it is missed [-], above zero; empty if it keeps to all.

    Examples
    --------
    >>> excesses(comparison.options[0], site, Limits(greatest_depth_m=0.2))["greatest depth"] > 0.0
    True
    """
    broken = {}
    if not option.holds:
        storm_mm = storm_of(site).depth_mm
        broken[STORM] = max(1.0 - option.amount("held_storm_mm") / storm_mm, _TRIFLE) if option.lines else 1.0
    broken |= _beyond_brief(option, site)
    if limits.slopes is not None and not option.lines:
        broken["slope window"] = 1.0
    measured = (
        ("greatest depth", option.deepest_m, limits.greatest_depth_m),
        ("budget", option.amount("cost"), limits.budget),
        ("length a day", option.amount("length_m"), limits.greatest_length_m),
    )
    for name, amount, most in measured:
        if most is not None and amount > most:
            broken[name] = amount / most - 1.0
    if limits.least_kept_share and option.amount("kept_share") < limits.least_kept_share:
        broken["water kept"] = 1.0 - option.amount("kept_share") / limits.least_kept_share
    return broken


def _beyond_brief(option: Option, site: Site) -> dict[str, float]:
    """Which of the brief's other limits it breaks, and by what share: those that raise cautions of its plan."""
    most_h, most_m = site.brief.soil.empty_within_h, site.brief.section.greatest_fill_m
    broken = {}
    if (option.standing_h or 0.0) > most_h:
        broken[STANDING] = max(min(option.standing_h or 0.0, LONGEST_H) / most_h - 1.0, _TRIFLE)
    if round(option.fill_m, 2) > most_m:  # to the centimetre that it is told in
        broken[FILL] = option.fill_m / most_m - 1.0
    if option.overtopped:
        freeboard_m = float(option.chosen["freeboard_m"] or 0.0) or option.over_m
        broken[CHECK_STORM] = max(option.over_m / freeboard_m, _TRIFLE) if freeboard_m > 0.0 else _TRIFLE
    return broken


def bars_all(options: Sequence[Option]) -> tuple[str, ...]:
    """Limits, the design storm among them, that every option breaks.

    Parameters
    ----------
    options : sequence of Option
        Options of one site.

    Returns
    -------
    tuple of str
        Names of the limits, by the alphabet; none without options.

    Examples
    --------
    >>> none = {"cost": None, "dug_m3": 0.0}
    >>> bars_all([Option(1, "a", {}, none, holds=False, beyond=("budget",)), Option(2, "b", {}, none, holds=False)])
    ('design storm',)
    """
    broken = [{*option.beyond} | (set() if option.holds else {STORM}) for option in options]
    return tuple(sorted(set.intersection(*broken))) if broken else ()
