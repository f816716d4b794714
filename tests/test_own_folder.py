"""What is kept between runs where the user has no home."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from swalekit._own_folder import home_takes_files, own_folder

posix = pytest.mark.skipif(os.name != "posix", reason="folders have owners there")


@pytest.fixture
def temporary(monkeypatch, tmp_path) -> Path:
    """The folder of temporary files."""
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    return tmp_path


@posix
def test_it_is_made_once_and_for_the_user_alone(temporary):
    """Nobody else may read or write."""
    folder = own_folder()
    assert folder == own_folder()
    assert folder.parent == temporary
    assert folder.stat().st_mode & 0o077 == 0


@posix
def test_one_that_others_may_write_to_is_not_taken(temporary):
    """Code is loaded from it."""
    own_folder().chmod(0o777)
    assert own_folder() is None


@posix
def test_a_link_is_not_followed(temporary):
    """Nor is a folder that somebody else chose."""
    name = own_folder().name
    (temporary / name).rmdir()
    (temporary / "elsewhere").mkdir()
    (temporary / name).symlink_to(temporary / "elsewhere")
    assert own_folder() is None


def test_a_temporary_folder_that_is_missing_gives_none(monkeypatch, tmp_path):
    """Nothing is kept then."""
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path / "missing"))
    assert own_folder() is None


@posix
def test_a_home_is_a_folder_that_takes_files(monkeypatch, tmp_path):
    """One that is missing doesn't."""
    monkeypatch.setenv("HOME", str(tmp_path))
    assert home_takes_files()
    monkeypatch.setenv("HOME", str(tmp_path / "missing"))
    assert not home_takes_files()


@pytest.mark.compiled
@pytest.mark.parametrize("kept", [True, False])
def test_loops_are_compiled_where_nothing_beside_them_takes_files(tmp_path, kept):
    """In a temporary folder if there is one; else nothing is kept, and they work."""
    code = """
import pathlib, sys, tempfile
import numba.core.caching as caching
caching.InTreeCacheLocator.from_function = caching.UserWideCacheLocator.from_function = lambda *_: None
tempfile.tempdir = sys.argv[1]
import numpy as np
from swalekit.kernels.flow_paths import sum_downhill
sums = np.ones(2)
sum_downhill(np.array([1, 1], np.int32), np.array([1, 0], np.int32), sums)
print(sums[1], len(list(pathlib.Path(sys.argv[1]).rglob("*.nbc"))))
"""
    folder = tmp_path if kept else tmp_path / "missing"
    free = {name: value for name, value in os.environ.items() if name != "NUMBA_CACHE_DIR"}
    ran = subprocess.run(
        [sys.executable, "-c", code, str(folder)], capture_output=True, text=True, env=free, check=False
    )
    assert (ran.stdout, ran.stderr) == (f"2.0 {int(kept)}\n", "")
