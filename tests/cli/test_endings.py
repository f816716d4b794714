"""How a command ends when it is told to, or when nobody listens."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from sites import plane, write_tile

pytestmark = pytest.mark.skipif(os.name != "posix", reason="signals and closed streams as POSIX has them")

COMMAND = ["plan", "plane.tif", "--interval=2", "--storm=50", "--curve-number=80"]
RUN = f"import sys; from swalekit.cli.main import run; sys.argv[1:] = {COMMAND}; run()"
TERMINATED = f"""
import os, signal
from swalekit.results.plan import write as results
results.write_layers = lambda *_, **__: os.kill(os.getpid(), signal.SIGTERM)
{RUN}
"""


@pytest.fixture
def tile(tmp_path):
    """A plane of 10 % in a folder of its own."""
    return write_tile(tmp_path / "plane.tif", plane(shape=(60, 50)).heights)


def _ended(script: str, tile: Path, **streams: object) -> tuple[int, str]:
    """Exit code and standard error of a script that runs a command beside the tile."""
    ran = subprocess.run(
        [sys.executable, "-c", script], cwd=tile.parent, stderr=subprocess.PIPE, text=True, check=False, **streams
    )
    return ran.returncode, ran.stderr


def test_told_to_terminate_it_leaves_nothing(tile):
    """SIGTERM while the results are written: exit code 143, no half folder, no word."""
    assert _ended(TERMINATED, tile) == (128 + signal.SIGTERM, "")
    assert [path.name for path in tile.parent.iterdir()] == ["plane.tif"]


def test_a_pipe_that_nobody_reads_ends_it_quietly(tile):
    """The results are whole; the process ends by SIGPIPE as other commands do."""
    reader, writer = os.pipe()
    os.close(reader)
    try:
        assert _ended(RUN, tile, stdout=writer) == (-signal.SIGPIPE, "")
    finally:
        os.close(writer)
    assert json.loads((tile.parent / "plan" / "summary.json").read_text(encoding="utf-8"))["swales"]


def test_without_standard_output_it_still_works(tile):
    """A closed standard output is as good as --quiet."""
    script = f"import os; os.close(1); os.execv({sys.executable!r}, [{sys.executable!r}, '-c', {RUN!r}])"
    assert _ended(script, tile) == (0, "")
    assert (tile.parent / "plan" / "summary.json").exists()
