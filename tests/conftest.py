"""What all tests share."""

import os
import sys
from collections.abc import Callable

import doctest_plane
import pytest
from hypothesis import settings
from sites import plane, write_tile

from swalekit.cli.main import run

Command = Callable[..., tuple[int, str, str]]

settings.register_profile("same cases", derandomize=True)
settings.load_profile("same cases")
"""Every run tries the same cases, so that a change is judged by what it changes."""


def pytest_configure(config: pytest.Config) -> None:
    """Let the examples of docstrings, which lie in another folder, name what is planned on the plane."""
    if not config.pluginmanager.has_plugin("tests.doctest_plane"):
        config.pluginmanager.register(doctest_plane, "tests.doctest_plane")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip tests that need the compiler when it is switched off."""
    if os.environ.get("NUMBA_DISABLE_JIT", "0") == "0":
        return
    for item in items:
        if item.get_closest_marker("compiled"):
            item.add_marker(pytest.mark.skip(reason="needs the compiler"))


@pytest.fixture
def swalekit(monkeypatch, capsys, tmp_path) -> Command:
    """Run the command in a folder of its own; give exit code, standard output and standard error."""
    monkeypatch.chdir(tmp_path)

    def call(*words: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["swalekit", *map(str, words)])
        with pytest.raises(SystemExit) as stop:
            run()
        out, err = capsys.readouterr()
        return int(stop.value.code or 0), out, err

    return call


@pytest.fixture
def plane_tile(tmp_path) -> None:
    """A plane of 10 % in that folder, plane.tif, 60 m by 50 m."""
    write_tile(tmp_path / "plane.tif", plane(shape=(60, 50)).heights)
