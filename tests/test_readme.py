"""What the README shows from Python is what comes."""

import doctest
import re
from pathlib import Path

import pytest

import swalekit

HOUSE = Path(__file__).parents[1]


@pytest.mark.compiled
def test_python_of_the_readme_runs(tmp_path, monkeypatch):
    """Its program runs on the sample and writes a plan; what its calls print is what it shows."""
    (tmp_path / "sample_terrain").symlink_to(HOUSE / "sample_terrain")
    monkeypatch.chdir(tmp_path)
    page = (HOUSE / "README.md").read_text()
    (program,) = re.findall(r"```python\n(.*?)```", page, re.DOTALL)
    (calls,) = re.findall(r"```pycon\n(.*?)```", page, re.DOTALL)
    names = {}
    exec(program, names)
    assert (tmp_path / "from_python" / "map.png").exists()
    assert {swale.id for swale in names["design"].swales} >= {"S1", "S2"}
    session = doctest.DocTestParser().get_doctest(calls, names, "README.md", "README.md", 0)
    told = []
    result = doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE).run(session, out=told.append)
    assert "".join(told) == ""
    assert result.attempted >= 5


def test_functions_and_rooms_that_the_readme_names_are_there():
    """Each name after `swalekit.` is a room, a value or a function."""
    page = (HOUSE / "README.md").read_text()
    names = set(re.findall(r"swalekit\.([a-z_]\w*|[A-Z]\w+)", page)) - {"draw_", "cli", "egg"}
    assert {name for name in names if not hasattr(swalekit, name)} == set()
    assert {"section", "hydrology", "plan"} <= names
