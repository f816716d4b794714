"""Results appear whole or not at all."""

import json
import os
import sqlite3
from contextlib import closing
from pathlib import Path

import geopandas
import pytest
from shapely import Point

from swalekit.errors import InputError, OutputError
from swalekit.results.folder.folder import check_free, result_folder, whole_file
from swalekit.results.folder.provenance import write_json
from swalekit.results.folder.seal import SIGNATURE, check_as_written
from swalekit.results.plan.read import read_summary


def _write(path: Path, text: str, *, overwrite: bool = False) -> None:
    with result_folder(path, overwrite=overwrite) as folder:
        write_json({"text": text}, folder / SIGNATURE)
        (folder / "table.csv").write_text(text)


def _text(path: Path) -> str:
    return str(read_summary(path, ("text",))["text"])


def _fail_halfway(folder: Path) -> None:
    (folder / SIGNATURE).write_text("half")
    message = "halfway"
    raise RuntimeError(message)


def test_an_error_on_the_way_leaves_nothing(tmp_path):
    """A block that fails leaves neither the folder nor a working copy."""
    with pytest.raises(RuntimeError, match="halfway"), result_folder(tmp_path / "plan") as folder:
        _fail_halfway(folder)
    assert list(tmp_path.iterdir()) == []


def test_an_older_result_is_kept_unless_told(tmp_path):
    """Without overwrite the older result stays as it was; with it the new one stands alone."""
    _write(tmp_path / "plan", "first")
    with pytest.raises(OutputError, match="--overwrite"):
        _write(tmp_path / "plan", "second")
    assert _text(tmp_path / "plan") == "first"
    _write(tmp_path / "plan", "second", overwrite=True)
    assert _text(tmp_path / "plan") == "second"
    assert [path.name for path in tmp_path.iterdir()] == ["plan"]


def test_a_failed_overwrite_keeps_the_older_result(tmp_path):
    """An error while the replacement is made leaves the older result whole."""
    _write(tmp_path / "plan", "first")
    with pytest.raises(ZeroDivisionError), result_folder(tmp_path / "plan", overwrite=True):
        _ = 1 / 0
    assert _text(tmp_path / "plan") == "first"


@pytest.mark.parametrize("overwrite", [False, True])
def test_a_folder_of_other_files_is_never_replaced(tmp_path, overwrite):
    """Somebody's photos are not an earlier result."""
    (tmp_path / "plan").mkdir()
    (tmp_path / "plan" / "photo.jpg").write_text("x")
    with pytest.raises(OutputError, match="not an earlier result"):
        _write(tmp_path / "plan", "mine", overwrite=overwrite)
    assert (tmp_path / "plan" / "photo.jpg").exists()


@pytest.mark.parametrize("name", ["notes.docx", "table.csv.bak", "photos"])
def test_what_was_put_among_the_results_is_never_taken_away(tmp_path, name):
    """A designer's notes beside the results stop the overwriting; the line names them, and all stays as it was."""
    _write(tmp_path / "plan", "first")
    stranger = tmp_path / "plan" / name
    stranger.mkdir() if name == "photos" else stranger.write_text("mine")
    with pytest.raises(OutputError, match=rf"'{name}' among the results there is not as it was written.*move it away"):
        _write(tmp_path / "plan", "second", overwrite=True)
    assert _text(tmp_path / "plan") == "first"
    assert stranger.exists()


def test_what_other_programs_leave_beside_results_is_replaced_with_them(tmp_path):
    """Statistics of a raster, journals of a database, a page made later."""
    _write(tmp_path / "plan", "first")
    for name in ("table.csv.aux.xml", ".DS_Store", "report.pdf"):
        (tmp_path / "plan" / name).write_text("x")
    _write(tmp_path / "plan", "second", overwrite=True)
    assert sorted(path.name for path in (tmp_path / "plan").iterdir()) == [SIGNATURE, "table.csv"]


def test_a_summary_of_another_program_is_no_result(tmp_path):
    """Nor is one of swalekit's that was cut short."""
    (tmp_path / "plan").mkdir()
    for text in ("{}", "[]", '{"files": 3}', '{"fil', "[" * 100_000):
        (tmp_path / "plan" / SIGNATURE).write_text(text)
        with pytest.raises(OutputError, match="not an earlier result"):
            _write(tmp_path / "plan", "mine", overwrite=True)


def test_a_summary_that_was_changed_is_not_read(tmp_path):
    """A figure edited by hand is told, not reported as a plan's; read in another order it is the same."""
    _write(tmp_path / "plan", "first")
    file = tmp_path / "plan" / SIGNATURE
    told = json.loads(file.read_text())
    write_json(dict(reversed(told.items())), file)
    assert _text(tmp_path / "plan") == "first"
    write_json(told | {"text": "second"}, file)
    with pytest.raises(InputError, match="was changed after it was written"):
        _text(tmp_path / "plan")


def test_a_file_in_the_way_is_named(tmp_path):
    """A file where the folder should go is an error that names it."""
    (tmp_path / "plan").write_text("x")
    with pytest.raises(OutputError, match="a file of that name"):
        _write(tmp_path / "plan", "mine", overwrite=True)


def test_a_file_in_whose_place_a_folder_stands_is_refused_before_anything_is_written(tmp_path):
    """So that what is written with it stays whole."""
    (tmp_path / "report.html").mkdir()
    with pytest.raises(OutputError, match="a folder has its name"), whole_file(tmp_path / "report.html"):
        (tmp_path / "report.pdf").touch()
    assert [path.name for path in tmp_path.iterdir()] == ["report.html"]


def _write_layers(path: Path) -> None:
    """A result with a layer of two points."""
    with result_folder(path) as folder:
        write_json({"text": "first"}, folder / SIGNATURE)
        points = geopandas.GeoDataFrame({"name": ["a", "b"]}, geometry=[Point(0, 0), Point(1, 2)], crs="EPSG:32630")
        points.to_file(folder / "site.gpkg", layer="points", engine="pyogrio")


def test_a_geopackage_that_was_looked_at_is_as_written(tmp_path):
    """A program that opens it may switch its journal or keep styles in it; its features are what counts."""
    _write_layers(tmp_path / "plan")
    file, summary = tmp_path / "plan" / "site.gpkg", read_summary(tmp_path / "plan", ("text",))
    before = file.read_bytes()
    with closing(sqlite3.connect(file)) as opened:
        opened.execute("pragma journal_mode = wal")
        opened.execute("create table layer_styles (id integer primary key, style text)")
        opened.commit()
    assert file.read_bytes() != before
    check_as_written(summary, file)
    _write(tmp_path / "plan", "second", overwrite=True)
    assert _text(tmp_path / "plan") == "second"


@pytest.mark.parametrize("change", [{"name": ["a", "x"]}, {"geometry": [Point(0, 0), Point(1, 3)]}, None])
def test_features_that_were_changed_are_told(tmp_path, change):
    """An attribute, a place, or a file that is no GeoPackage any more."""
    _write_layers(tmp_path / "plan")
    file, summary = tmp_path / "plan" / "site.gpkg", read_summary(tmp_path / "plan", ("text",))
    points = geopandas.read_file(file, layer="points")
    file.unlink()
    if change is None:
        file.write_bytes(b"no database")
    else:
        points.assign(**change).set_crs("EPSG:32630").to_file(file, layer="points", engine="pyogrio")
    with pytest.raises(InputError, match=r"site\.gpkg' was changed after it was written"):
        check_as_written(summary, file)
    with pytest.raises(OutputError, match=r"'site\.gpkg' among the results there is not as it was written"):
        check_free(tmp_path / "plan", overwrite=True)


def test_what_a_user_changed_in_results_is_never_taken_away(tmp_path):
    """A table with notes, a folder in place of a file, a summary of another kind with a list of files."""
    _write(tmp_path / "plan", "first")
    table = tmp_path / "plan" / "table.csv"
    for change in (lambda: table.write_text("first, and my notes"), lambda: (table.unlink(), table.mkdir())):
        change()
        with pytest.raises(OutputError, match=r"'table.csv' among the results there is not as it was written"):
            _write(tmp_path / "plan", "second", overwrite=True)
        assert table.exists()
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / SIGNATURE).write_text('{"files": {"notes.txt": "x"}}')
    (tmp_path / "own" / "notes.txt").write_text("mine")
    with pytest.raises(OutputError, match="not an earlier result"):
        _write(tmp_path / "own", "mine", overwrite=True)


def test_a_link_to_results_leads_to_the_new_ones(tmp_path):
    """What it leads to is replaced, and it stays; one that leads nowhere, and the folder one is in, are refused."""
    _write(tmp_path / "there", "first")
    (tmp_path / "link").symlink_to("there", target_is_directory=True)
    _write(tmp_path / "link", "second", overwrite=True)
    assert (tmp_path / "link").is_symlink()
    assert _text(tmp_path / "there") == "second"
    (tmp_path / "lost").symlink_to("nowhere")
    with pytest.raises(OutputError, match="a link to what isn't there"):
        _write(tmp_path / "lost", "first")


def test_the_folder_one_is_in_is_no_place_for_results(tmp_path, monkeypatch):
    """Nor one that holds it: told at once, not after the work."""
    (tmp_path / "a" / "b").mkdir(parents=True)
    monkeypatch.chdir(tmp_path / "a" / "b")
    for name in (".", "..", tmp_path / "a"):
        with pytest.raises(OutputError, match="the folder one works in"):
            check_free(Path(name), overwrite=True)


def test_a_pipe_in_place_of_the_summary_does_not_hang(tmp_path):
    """Nor is it an earlier result."""
    (tmp_path / "plan").mkdir()
    os.mkfifo(tmp_path / "plan" / SIGNATURE)
    with pytest.raises(OutputError, match="not an earlier result"):
        check_free(tmp_path / "plan", overwrite=True)


def test_edits_that_a_map_program_has_not_saved_are_kept(tmp_path):
    """A journal with something in it stops the overwriting; an empty one goes."""
    _write_layers(tmp_path / "plan")
    journal = tmp_path / "plan" / "site.gpkg-wal"
    journal.write_bytes(b"edits")
    with pytest.raises(OutputError, match=r"'site\.gpkg-wal' among the results"):
        check_free(tmp_path / "plan", overwrite=True)
    journal.write_bytes(b"")
    check_free(tmp_path / "plan", overwrite=True)
