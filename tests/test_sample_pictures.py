"""The pictures of the README: drawn by commands that it names, and not stale."""

import importlib.util
import re
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

ROOT = Path(__file__).parents[1]
SPEC = importlib.util.spec_from_file_location("make_pictures", ROOT / "sample_terrain" / "make_pictures.py")
make_pictures = importlib.util.module_from_spec(SPEC)
SPEC.loader.exec_module(make_pictures)


def test_readme_shows_what_the_script_draws():
    """Every picture is one of the script's, lies beside it, is no heavier than a megabyte, and its command is named."""
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    shown = re.findall(r"!\[[^]]+\]\(sample_terrain/([^)]+)\)", readme)
    assert sorted(shown) == sorted(make_pictures.PICTURES)
    for name, (command, _) in make_pictures.PICTURES.items():
        assert f"`.venv/bin/swalekit {command}`" in readme
        assert 10_000 < (ROOT / "sample_terrain" / name).stat().st_size < 1_000_000


@pytest.mark.compiled
def test_a_picture_is_not_stale(tmp_path, capfd):
    """Drawn anew the chart of the options is the one that lies there, but for the edges of its letters."""
    drawn = make_pictures.make_picture("options.png", tmp_path).convert("RGB")
    with Image.open(ROOT / "sample_terrain" / "options.png") as kept:
        was = np.asarray(kept.convert("RGB"), np.float64)
    assert was.shape == np.asarray(drawn).shape
    assert np.abs(was - np.asarray(drawn, np.float64)).mean() < 2.0
    assert "options" in capfd.readouterr().out
