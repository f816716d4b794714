"""Outputs that can't be written and terminals that can't show them: nothing is lost, and one line says so."""

import io
import json
import os
import sys
from pathlib import Path

import pytest
from bad_input import OPTIONS, assert_noted, assert_refused, brief_text
from pyogrio.errors import DataSourceError

from swalekit.errors import OutputError
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.seal import SIGNATURE
from swalekit.results.plan import write as results

pytestmark = pytest.mark.usefixtures("plane_tile")


@pytest.mark.parametrize("folder", ["x" * 300, "line\nend/plan", os.fsdecode(b"caf\xe9")])
def test_an_output_name_that_cannot_be_is_refused(swalekit, folder):
    """Too long, with a line end, not UTF-8; folders made on the way are taken away again."""
    assert_refused(swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--out", folder))
    assert [path.name for path in Path().iterdir()] == ["plane.tif"]


def test_an_output_folder_that_may_not_be_read_is_refused(swalekit, monkeypatch):
    """What it holds is unknown, so it is left alone."""
    Path("closed").mkdir()

    def refuse(_: Path) -> object:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "iterdir", refuse)
    result = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--out", "closed")
    assert_refused(result, "closed", "Permission denied", "--out")


@pytest.mark.parametrize("fault", [DataSourceError("disk full"), OSError(28, "disk full")])
def test_a_full_disk_leaves_nothing(swalekit, monkeypatch, fault):
    """An error of the writer in the middle of the results: one line, and no half folder."""

    def fail(*_: object, **__: object) -> None:
        raise fault

    monkeypatch.setattr(results, "write_layers", fail)
    assert_refused(swalekit("plan", "plane.tif", "--interval=2", *OPTIONS), "plan", "disk full")


def test_an_interrupt_leaves_nothing(swalekit, monkeypatch):
    """Ctrl-C while the results are written: no half folder, no traceback."""

    def interrupt(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(results, "write_layers", interrupt)
    code, _, err = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS)
    assert code not in (0, 2)
    assert "Traceback" not in err
    assert [path.name for path in Path().iterdir()] == ["plane.tif"]


def test_an_interrupt_between_old_and_new_keeps_the_old(tmp_path, monkeypatch):
    """The older result is back in its place when the new one could not take it."""
    folder, renamed = tmp_path / "plan", Path.rename
    with result_folder(folder) as results:
        (results / SIGNATURE).write_text("{}")
    first = (folder / SIGNATURE).read_bytes()

    def interrupt(path: Path, target: Path) -> Path:
        if path.name == "new":
            raise KeyboardInterrupt
        return renamed(path, target)

    monkeypatch.setattr(Path, "rename", interrupt)
    with pytest.raises(KeyboardInterrupt), result_folder(folder, overwrite=True):
        pass
    assert (folder / SIGNATURE).read_bytes() == first
    with pytest.raises(OutputError), result_folder(folder):
        pass


@pytest.mark.parametrize("words", [[], ["--json"]])
def test_a_terminal_without_the_characters_still_gets_the_result(swalekit, monkeypatch, words):
    """ASCII has no m³: the table shows a question mark, and JSON is whole."""
    stream = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    monkeypatch.setattr(sys, "stdout", stream)
    code, _, err = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--name", "Cañada", *words)
    stream.flush()
    shown = stream.buffer.getvalue().decode("ascii")
    assert (code, err) == (0, "")
    assert json.loads(shown)["site"] == "Cañada" if words else "m?" in shown


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.parametrize("words", [[], ["--json"]])
def test_standard_output_that_takes_nothing_is_one_line(swalekit, monkeypatch, words):
    """The results are whole; that they couldn't be shown is told."""
    with Path("/dev/full").open("wb", buffering=0) as full:
        monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(full, encoding="utf-8", write_through=True))
        code, _, err = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, *words)
    assert (code, err.count("\n")) == (2, 1)
    assert "standard output" in err


@pytest.mark.parametrize("name", ["[/bold] <b> $x$ \\frac{", "line\nend", "مزرعة الأمل", "x" * 2000, ""])
def test_a_name_is_shown_as_it_is(swalekit, name):
    """No name is taken for markup or a formula."""
    code, out, err = swalekit("plan", "plane.tif", "--interval=2", *OPTIONS, "--name", name, "--json")
    assert (code, err) == (0, "")
    assert json.loads(out)["site"] == name


def test_a_currency_is_not_taken_for_markup(swalekit):
    """Brackets are printed as they stand."""
    assert_noted(swalekit("plan", brief_text('[rates]\nmachine_per_h = 60\ncurrency = "[/red]"\n')), "[/red]")
