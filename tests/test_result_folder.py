"""Results appear whole or not at all."""

from pathlib import Path

import pytest

from swalekit.errors import OutputError
from swalekit.formats.result_folder import SIGNATURE, result_folder, whole_file


def _write(path: Path, text: str, *, overwrite: bool = False) -> None:
    with result_folder(path, overwrite=overwrite) as folder:
        (folder / SIGNATURE).write_text(text)


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
    assert (tmp_path / "plan" / SIGNATURE).read_text() == "first"
    _write(tmp_path / "plan", "second", overwrite=True)
    assert (tmp_path / "plan" / SIGNATURE).read_text() == "second"
    assert [each.name for each in tmp_path.iterdir()] == ["plan"]


def test_a_failed_overwrite_keeps_the_older_result(tmp_path):
    """An error while the replacement is made leaves the older result whole."""
    _write(tmp_path / "plan", "first")
    with pytest.raises(ZeroDivisionError), result_folder(tmp_path / "plan", overwrite=True):
        _ = 1 / 0
    assert (tmp_path / "plan" / SIGNATURE).read_text() == "first"


@pytest.mark.parametrize("overwrite", [False, True])
def test_a_folder_of_other_files_is_never_replaced(tmp_path, overwrite):
    """Somebody's photos are not an earlier result."""
    (tmp_path / "plan").mkdir()
    (tmp_path / "plan" / "photo.jpg").write_text("x")
    with pytest.raises(OutputError, match="not an earlier result"):
        _write(tmp_path / "plan", "mine", overwrite=overwrite)
    assert (tmp_path / "plan" / "photo.jpg").exists()


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
    assert [each.name for each in tmp_path.iterdir()] == ["report.html"]
