"""The notebooks run from top to bottom, show pictures, and are committed without output."""

import ast
import json
from pathlib import Path

import nbformat
import pytest
from nbclient import NotebookClient

FOLDER = Path(__file__).parents[1] / "notebooks"
NOTEBOOKS = sorted(FOLDER.glob("*.ipynb"))
SECONDS_A_CELL = 120
PICTURES = {"image/png", "text/html"}


@pytest.fixture
def own_settings(tmp_path, monkeypatch):
    """Jupyter's and IPython's files, and whatever a notebook writes, go to a folder of the test."""
    for name in ("IPYTHONDIR", "JUPYTER_CONFIG_DIR", "JUPYTER_DATA_DIR", "JUPYTER_RUNTIME_DIR", "TMPDIR"):
        (tmp_path / name).mkdir()
        monkeypatch.setenv(name, str(tmp_path / name))
    monkeypatch.setenv("JUPYTER_PLATFORM_DIRS", "1")


def executed(path: Path) -> nbformat.NotebookNode:
    """The notebook after a run by a kernel on loopback; a cell that fails or takes too long raises."""
    notebook = nbformat.read(path, as_version=4)
    limits = {"timeout": SECONDS_A_CELL, "startup_timeout": 60, "extra_arguments": ["--log-level=40"]}
    NotebookClient(notebook, resources={"metadata": {"path": str(FOLDER)}}, **limits).execute()
    return notebook


def test_there_are_seven_in_order():
    """The stories are numbered from 1 to 7."""
    assert [path.name[:2] for path in NOTEBOOKS] == [f"{number}_" for number in range(1, 8)]


@pytest.mark.usefixtures("own_settings")
@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_runs_and_shows_pictures(path):
    """Every cell runs; there are two pictures or tables at least, and no cell complains on its way."""
    outputs = [output for cell in executed(path).cells if cell.cell_type == "code" for output in cell.outputs]
    assert sum(bool(PICTURES & set(output.get("data", {}))) for output in outputs) >= 2
    assert [output.text for output in outputs if output.output_type == "stream"] == []


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_it_is_committed_clean(path):
    """No output, no counts, nothing of the machine in the metadata; valid, and normalised."""
    text = path.read_text(encoding="utf-8")
    notebook = json.loads(text)
    nbformat.validate(notebook)
    code = [cell for cell in notebook["cells"] if cell["cell_type"] == "code"]
    assert all(cell["outputs"] == [] and cell["execution_count"] is None for cell in code)
    assert all(cell["metadata"] == {} for cell in notebook["cells"])
    assert notebook["metadata"]["language_info"] == {"name": "python"}
    assert text == json.dumps(notebook, indent=1, ensure_ascii=False, sort_keys=True) + "\n"


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_a_cell_is_one_call(path):
    """Every cell is one import, assignment or expression: no loop, no function of its own."""
    for cell in nbformat.read(path, as_version=4).cells:
        if cell.cell_type == "code":
            kinds = [type(each) for each in ast.parse(cell.source).body]
            assert len(kinds) == 1, cell.source
            assert kinds[0] in (ast.Import, ast.Assign, ast.Expr), cell.source
