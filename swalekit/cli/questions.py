"""The five questions that `swalekit begin` asks at a terminal."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any, NamedTuple

import typer

from swalekit.cli.options import INTERRUPTED
from swalekit.design.appraisal.answers import PURPOSES, USUAL, Answers
from swalekit.errors import InputError
from swalekit.units import METRES_PER_FOOT, MM_PER_INCH

NO_HOUSE = "none"


class Question(NamedTuple):
    """One of the questions.

    Parameters
    ----------
    field : str
        Of `Answers`.
    words : str
        What is asked.
    usual : str
        What Enter takes.
    read : callable
        What is typed -> the answer in SI.
    """

    field: str
    words: str
    usual: str
    read: Callable[[str], Any]


def questions(*, us: bool) -> tuple[Question, ...]:
    """What is asked, in turn.

    Parameters
    ----------
    us : bool
        Whether in inches and feet.

    Returns
    -------
    tuple of Question
        Storm, soil, machine, house and purpose.

    Examples
    --------
    >>> [(question.field, question.usual) for question in questions(us=False)]
    [('storm_mm', '50'), ('texture', 'loam'), ('bucket_m', '0.6'), ('house', 'none'), ('purpose', 'trees')]
    """
    mm, m, rain, length = (MM_PER_INCH, METRES_PER_FOOT, "in", "ft") if us else (1.0, 1.0, "mm", "m")
    return (
        Question("storm_mm", f"Rain of the storm to hold [{rain}]", f"{(USUAL.storm_mm or 0) / mm:.2g}", _times(mm)),
        Question("texture", "Texture of the soil (sand, sandy loam, loam, clay …)", str(USUAL.texture), _word),
        Question("bucket_m", f"Width of the digger's bucket [{length}]", f"{(USUAL.bucket_m or 0) / m:.2g}", _times(m)),
        Question("house", "House to keep clear of: latitude, longitude as a phone shows them", NO_HOUSE, house_place),
        Question("purpose", f"What for ({', '.join(PURPOSES)})", str(USUAL.purpose), _word),
    )


def ask(answers: Answers, *, us: bool, prompt: Callable[[str, str], str] | None = None) -> Answers:
    """Ask what isn't answered yet; what can't be is asked again.

    Parameters
    ----------
    answers : Answers
        What is known.
    us : bool
        Whether in inches and feet.
    prompt : callable, optional
        Gives what is typed, told the question and what Enter takes; the terminal unless given.

    Returns
    -------
    Answers
        All five.

    Examples
    --------
    >>> typed = iter(["40", "loam", "a yard", "0.9", "none", "trees"])
    >>> ask(Answers(), us=False, prompt=lambda words, usual: next(typed))
    Answers(trees, storm 40 mm, loam, bucket 0.9 m)
    """
    for question in questions(us=us):
        while getattr(answers, question.field) is None:
            typed = (prompt or _at_the_terminal)(question.words, question.usual)
            try:
                told: dict[str, Any] = {question.field: question.read(typed)}
                answers = replace(answers, **told)
            except InputError as fault:
                typer.echo(f"  {fault}", err=True)
    return answers


def house_place(text: str) -> tuple[float, ...]:
    """Latitude and longitude of what was typed.

    Parameters
    ----------
    text : str
        As ``37.33, -2.29``, or ``none``.

    Returns
    -------
    tuple of float
        Both [degrees]; empty for none.

    Raises
    ------
    InputError
        If it is neither.

    Examples
    --------
    >>> house_place("37.33, -2.29"), house_place("none")
    ((37.33, -2.29), ())
    """
    if text.strip().casefold() in (NO_HOUSE, "no", ""):
        return ()
    try:
        latitude, longitude = map(float, text.replace(",", " ").split())
    except ValueError as error:
        message = f"house is '{text[:40]}'; give latitude and longitude in degrees, as 37.33, -2.29, or none"
        raise InputError(message) from error
    return latitude, longitude


def _word(text: str) -> str:
    return " ".join(text.casefold().split())


def _times(factor: float) -> Callable[[str], float]:
    def read(text: str) -> float:
        try:
            return factor * float(text.replace(",", "."))
        except ValueError as error:
            message = f"'{text[:40]}' is not a number; type one, or Enter for what stands in brackets"
            raise InputError(message) from error

    return read


def _at_the_terminal(words: str, usual: str) -> str:
    try:
        return str(typer.prompt(words, default=usual, err=True))
    except typer.Abort as stopped:
        typer.echo("", err=True)
        raise typer.Exit(INTERRUPTED) from stopped
