"""What options vary: values of the brief, in words, and every combination of them."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod
from typing import Any

from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.units import to_us

MOST_OPTIONS = 2000
"""Combinations that are laid out at most; of more, a search finds the best."""


@dataclass(frozen=True)
class Varied:
    """Something that options vary.

    Parameters
    ----------
    word : str
        As it stands in an option's words.
    keys : tuple of str
        Keys of the brief that get the value, as ``part.key``.
    unit : str
        Unit of the value, '' for none.
    """

    word: str
    keys: tuple[str, ...]
    unit: str = "m"


VARIED: dict[str, Varied] = {
    "interval": Varied("interval", ("levels.interval_m",)),
    "spacing": Varied("spacing", ("levels.spacing_m",)),
    "rule": Varied("rule", ("levels.rule",), ""),
    "matched": Varied("matched to the storm", ("levels.matched",), ""),
    "start_level": Varied("start", ("levels.start_m",)),
    "bottom_width": Varied("bottom", ("section.bottom_width_m",)),
    "side_slope": Varied("sides", ("section.uphill_side_slope", "section.downhill_side_slope"), ""),
    "depth": Varied("depth to", ("section.greatest_depth_m",)),
    "freeboard": Varied("freeboard", ("section.freeboard_m",)),
}
"""Everything that options vary, by name; the first four are ways to choose the levels, of which an option has one."""

_WAYS = ("interval", "spacing", "rule", "matched")

_PARTS = ("levels", "section")
"""Parts of the brief that may vary on ground that is studied once."""


@dataclass(frozen=True)
class Choice:
    """One value of something that options vary.

    Parameters
    ----------
    name : str
        What is varied, of `VARIED`.
    value : float, str or bool
        The value, lengths in metres.
    units : str
        ``metric`` or ``us``, for the words.
    """

    name: str
    value: Any
    units: str = "metric"

    @property
    def words(self) -> str:
        """What is chosen, as a reader sees it.

        Examples
        --------
        >>> Choice("interval", 1.5).words, Choice("side_slope", 2.0).words, Choice("matched", True).words
        ('interval 1.5 m', 'sides 2:1', 'matched to the storm')
        """
        varied = VARIED[self.name]
        if self.value is True:
            return varied.word
        if isinstance(self.value, str):
            return f"{varied.word} {self.value}"
        value, unit = to_us(self.value, varied.unit) if self.units == "us" else (self.value, varied.unit)
        return f"{varied.word} {value:.6g}{f' {unit}' if unit else ':1'}"


Factor = tuple[Choice, ...]
"""Choices of which an option has one."""


@one_line("words")
@dataclass(frozen=True)
class Variation:
    """What makes an option of a site.

    Parameters
    ----------
    words : str
        What was varied, as a reader sees it.
    values : mapping
        Part of the brief -> key -> value, or ``part.key`` -> value; a key may name a US unit.

    Raises
    ------
    InputError
        If it would change the ground, which is studied once.
    """

    words: str
    values: Mapping[str, Any]

    def __post_init__(self) -> None:
        others = sorted({name.partition(".")[0] for name in self.values} - set(_PARTS))
        if others:
            message = f"option '{self.words}' varies [{others[0]}]; options of one ground vary [levels] and [section]"
            raise InputError(message)


def axes_of(asked: Mapping[str, Sequence[Any]], *, units: str = "metric") -> tuple[Factor, ...]:
    """The axes of a grid of options: the ways to choose the levels together, then each other thing.

    Parameters
    ----------
    asked : mapping
        Name of `VARIED` -> values; an empty list varies nothing.
    units : str
        ``metric`` or ``us``, for the words.

    Returns
    -------
    tuple of tuple of Choice
        The axes that vary something.

    Raises
    ------
    InputError
        If nothing is varied, a name is unknown or a value is listed twice.

    Examples
    --------
    >>> axes = axes_of({"spacing": [25.0, 30.0], "matched": [True], "depth": [0.8]})
    >>> [[choice.words for choice in axis] for axis in axes]
    [['spacing 25 m', 'spacing 30 m', 'matched to the storm'], ['depth to 0.8 m']]
    """
    choices = {name: [Choice(name, value, units) for value in asked.get(name, ())] for name in VARIED}
    unknown = sorted(set(asked) - set(VARIED))
    if unknown:
        message = f"options can't vary '{unknown[0]}'; they vary {', '.join(VARIED)}"
        raise InputError(message)
    words = [choice.words for listed in choices.values() for choice in listed]
    twice = next((text for text in words if words.count(text) > 1), None)
    if twice is not None:
        message = f"'{twice}' is listed twice; list every value once"
        raise InputError(message)
    ways = tuple(choice for name in _WAYS for choice in choices[name])
    axes = tuple(axis for axis in (ways, *(tuple(choices[name]) for name in VARIED if name not in _WAYS)) if axis)
    if not axes:
        message = "there is nothing to compare: the grid of options is empty; give at least one value to vary"
        raise InputError(message)
    return axes


def variation_of(choices: Iterable[Choice]) -> Variation:
    """The option that choices make, one of each axis.

    Parameters
    ----------
    choices : iterable of Choice
        One of each axis.

    Returns
    -------
    Variation
        Their words, and the value of every key that they set.

    Examples
    --------
    >>> varied = variation_of([Choice("spacing", 25.0), Choice("side_slope", 2.0)])
    >>> varied.words, varied.values["section.uphill_side_slope"]
    ('spacing 25 m, sides 2:1', 2.0)
    """
    chosen = list(choices)
    values = {key: choice.value for choice in chosen for key in VARIED[choice.name].keys}
    return Variation(", ".join(choice.words for choice in chosen), values)


def grid_of(axes: Sequence[Factor]) -> tuple[Variation, ...]:
    """Every combination of choices, the last axis running fastest.

    Parameters
    ----------
    axes : sequence of tuple of Choice
        As from `axes_of`.

    Returns
    -------
    tuple of Variation
        The combinations.

    Raises
    ------
    InputError
        If there are more than `MOST_OPTIONS`.

    Examples
    --------
    >>> [option.words for option in grid_of(axes_of({"spacing": [25.0, 30.0], "depth": [0.8, 1.0]}))]
    ['spacing 25 m, depth to 0.8 m', 'spacing 25 m, depth to 1 m',
    'spacing 30 m, depth to 0.8 m', 'spacing 30 m, depth to 1 m']
    """
    count = prod(len(axis) for axis in axes)
    if count > MOST_OPTIONS:
        message = (
            f"the grid has {count:,} options and at most {MOST_OPTIONS:,} are laid out; give fewer values, or search"
        )
        raise InputError(message)
    return tuple(variation_of(choices) for choices in product(*axes))
