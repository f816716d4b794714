"""Options of ``swalekit compare``: what is varied, and within which limits."""

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated, Any, Literal

import swalekit
from swalekit.cli import options as opt
from swalekit.cli.source import numbers
from swalekit.errors import BriefError
from swalekit.units import METRES_PER_FOOT

if TYPE_CHECKING:
    from swalekit.design.options.variations import Factor


def _listed(what: str) -> Any:
    return opt.option(f"{what}, separated by commas")


def refuse_idle(what: str, why: str, given: dict[str, bool]) -> None:
    """Refuse options that would do nothing.

    Parameters
    ----------
    what : str
        What was asked for.
    why : str
        What makes the options idle with it.
    given : dict of str to bool
        Whether each was given, by its name on the command line.

    Raises
    ------
    BriefError
        If one is given.

    Examples
    --------
    >>> refuse_idle("a grid", "has no place to begin from", {"--seed": True})
    Traceback (most recent call last):
        ...
    swalekit.errors.BriefError: a grid has no place to begin from, so --seed would do nothing;
    leave out one or the other
    """
    idle = [option for option, is_given in given.items() if is_given]
    if idle:
        message = f"{what} {why}, so {', '.join(idle)} would do nothing; leave out one or the other"
        raise BriefError(message)


def _name(field: str) -> str:
    return f"--{field.replace('_', '-')}"


def given_options(options: Any) -> dict[str, bool]:
    """Whether each option of a group was given.

    Parameters
    ----------
    options : dataclass
        The group.

    Returns
    -------
    dict of str to bool
        By the names on the command line.

    Examples
    --------
    >>> given_options(RuleOptions(catchment_ratio=10.0))
    {'--rules': False, '--catchment-ratio': True, '--planted-width': False}
    """
    return {_name(field): value not in (None, False) for field, value in vars(options).items()}


@dataclass(frozen=True)
class VariedOptions:
    """Values that the options of a comparison have, lists as text."""

    interval: Annotated[str | None, _listed("vertical intervals [m; ft with --us]")] = None
    spacing: Annotated[str | None, _listed("horizontal spacings [m; ft with --us]")] = None
    rule: Annotated[str | None, _listed("published spacing rules by name")] = None
    matched: Annotated[bool, opt.option("levels whose lines the design storm just fills", "--matched")] = False
    start_level: Annotated[str | None, _listed("highest levels [m; ft with --us]")] = None
    bottom_width: Annotated[str | None, _listed("widths of the ditch floor [m; ft with --us]")] = None
    side_slope: Annotated[str | None, _listed("slopes of both ditch sides, horizontal : vertical")] = None
    depth: Annotated[str | None, _listed("greatest dig depths [m; ft with --us]")] = None
    freeboard: Annotated[str | None, _listed("heights of crest above sill [m; ft with --us]")] = None

    @property
    def given(self) -> dict[str, bool]:
        """Whether each option was given."""
        return given_options(self)

    def axes(self, *, us: bool) -> "tuple[Factor, ...]":
        """What the options vary.

        Parameters
        ----------
        us : bool
            Whether lengths are in feet.

        Returns
        -------
        tuple of Factor
            The values of each option that was given.

        Raises
        ------
        BriefError
            If there is nothing, or a value is not a number.

        Examples
        --------
        >>> [len(axis) for axis in VariedOptions(interval="1,1.5,2", depth="0.8").axes(us=False)]
        [3, 1]
        """
        return swalekit.axes_of(self._asked(us=us), units="us" if us else "metric")

    def first_levels(self, *, us: bool) -> dict[str, Any]:
        """How the first option chooses its levels, by part and key of the brief.

        Parameters
        ----------
        us : bool
            Whether lengths are in feet.

        Returns
        -------
        dict of str to object
            Values in SI; none where no option says how levels are chosen.

        Examples
        --------
        >>> VariedOptions(interval="5,8", depth="2").first_levels(us=True)
        {'levels.interval_m': 1.524}
        """
        first = swalekit.design.options.variation_of(axis[0] for axis in self.axes(us=us)).values
        return {key: value for key, value in first.items() if key.startswith("levels.")}

    def _asked(self, *, us: bool) -> dict[str, list[Any]]:
        """Values by the names that `swalekit.design.options.variations` knows, lengths in metres."""
        asked: dict[str, list[Any]] = {"matched": [True]} if self.matched else {}
        unit_m = METRES_PER_FOOT if us else 1.0
        for name, text in vars(self).items():
            if name == "rule" and text is not None:
                asked[name] = [rule.strip() for rule in text.split(",")]
            elif isinstance(text, str):
                factor = 1.0 if name == "side_slope" else unit_m
                asked[name] = [factor * value for value in numbers(text, option=_name(name))]
        if not asked:
            message = (
                "nothing to compare: give --interval or --spacing with values separated by commas, as 1,1.5,2, or "
                "another value to vary, as --depth 0.8,1.0"
            )
            raise BriefError(message)
        return asked


@dataclass(frozen=True)
class SearchOptions:
    """Whether the whole grid is laid out, and what counts as price."""

    search: Annotated[bool, opt.option("find the best without laying out all", "--search")] = False
    least: Annotated[Literal["cost", "dug"], opt.option("what counts as price: cost, or soil dug")] = "cost"
    seed: Annotated[int | None, opt.option("of the places where the search begins; 1 unless given", min=0)] = None


@dataclass(frozen=True)
class RuleOptions:
    """Whether spacing rules are put side by side, and the planted strip that one of them asks for."""

    rules: Annotated[bool, opt.option("published spacing rules side by side, no layouts", "--rules")] = False
    catchment_ratio: Annotated[float | None, opt.option("with --rules: catchment over planted ground, as 10")] = None
    planted_width: Annotated[float | None, opt.option("with --rules: width of the planted strip [m; ft with --us]")] = (
        None
    )

    @property
    def given(self) -> dict[str, bool]:
        """Whether the options of the strip were given."""
        return {name: is_given for name, is_given in given_options(self).items() if name != "--rules"}

    def strip(self, *, us: bool) -> "swalekit.PlantedStrip | None":
        """The planted strip in SI, if there is one.

        Parameters
        ----------
        us : bool
            Whether its width is in feet.

        Returns
        -------
        PlantedStrip or None
            None if neither ratio nor width was given.

        Raises
        ------
        BriefError
            If only one of both is given.

        Examples
        --------
        >>> RuleOptions(catchment_ratio=10.0, planted_width=10.0).strip(us=True)
        PlantedStrip(catchment_ratio=10.0, width_m=3.048)
        """
        if (self.catchment_ratio is None) != (self.planted_width is None):
            message = "--catchment-ratio and --planted-width go together; give both or none"
            raise BriefError(message)
        if self.catchment_ratio is None or self.planted_width is None:
            return None
        return swalekit.PlantedStrip(self.catchment_ratio, self.planted_width * (METRES_PER_FOOT if us else 1.0))


@dataclass(frozen=True)
class LimitOptions:
    """Limits that an option must keep to besides holding the design storm."""

    slopes: Annotated[str | None, opt.option("slope window of the lines, gentlest and steepest, as 0.03,0.2")] = None
    most_depth: Annotated[float | None, opt.option("no swale is dug deeper [m; ft with --us]")] = None
    budget: Annotated[float | None, opt.option("greatest cost")] = None
    length_a_day: Annotated[float | None, opt.option("swale that the crew builds in a day [m; ft with --us]")] = None
    days: Annotated[float | None, opt.option("days there are, with --length-a-day")] = None
    least_kept: Annotated[float | None, opt.option("least share of the storm's water that stays, as 0.6")] = None

    @property
    def given(self) -> dict[str, bool]:
        """Whether each option was given."""
        return given_options(self)

    def limits(self, *, us: bool) -> "swalekit.Limits":
        """The limits in SI.

        Parameters
        ----------
        us : bool
            Whether lengths are in feet.

        Returns
        -------
        Limits
            Those given.

        Raises
        ------
        InputError
            If one can't be kept.

        Examples
        --------
        >>> LimitOptions(most_depth=2.0).limits(us=True).greatest_depth_m
        0.6096
        """
        unit_m = METRES_PER_FOOT if us else 1.0
        window = None if self.slopes is None else tuple(numbers(self.slopes, option="--slopes"))
        if window is not None and len(window) != 2:
            message = f"--slopes is '{self.slopes}'; give the gentlest and the steepest slope, as 0.03,0.2"
            raise BriefError(message)
        return swalekit.Limits(
            slopes=None if window is None else (window[0], window[1]),
            greatest_depth_m=None if self.most_depth is None else self.most_depth * unit_m,
            budget=self.budget,
            length_a_day_m=None if self.length_a_day is None else self.length_a_day * unit_m,
            days=self.days,
            least_kept_share=self.least_kept,
        )
