"""Progress of long work: stages with their times on a terminal, nothing in a pipe."""

import io
import re

import numba
import pytest
from rich.console import Console
from rich.status import Status

from swalekit.cli.say import stages


@pytest.fixture
def told(monkeypatch):
    """Text that progress writes, on a terminal or in a pipe."""

    def run(*shown: str, terminal: bool) -> str:
        text = io.StringIO()
        monkeypatch.setattr(stages, "Console", lambda **_: Console(file=text, force_terminal=terminal, width=80))
        with stages.progress() as stage:
            for words in shown:
                stage(words)
        return re.sub(r"\x1b\[[0-9;?]*[a-zA-Z]", "", text.getvalue())

    return run


def test_each_stage_is_left_with_its_time(told):
    """A stage that counts up is one, told as it ended."""
    done = re.findall(r"\d+\.\d s  (.*)", told("reading the terrain", "draw 1 of 2", "draw 2 of 2", terminal=True))
    assert [words.strip() for words in done] == ["reading the terrain", "draw 2 of 2"]


def test_a_pipe_gets_nothing(told):
    """Not a character."""
    assert told("reading the terrain", terminal=False) == ""


@pytest.mark.compiled
def test_it_says_when_something_is_compiled_and_only_then(monkeypatch):
    """A loop that is compiled already is not told of; a stage goes on under its own name afterwards."""
    text = io.StringIO()
    monkeypatch.setattr(stages, "Console", lambda **_: Console(file=text, force_terminal=True, width=80))
    shown = []
    monkeypatch.setattr(Status, "update", lambda _, words: shown.append(words))
    loop = numba.njit(lambda number: number + 1)
    with stages.progress() as stage:
        stage("tracing lines")
        loop(1)
        loop(2)
    assert shown == ["tracing lines", f"tracing lines: {stages.COMPILING}", "tracing lines"]
