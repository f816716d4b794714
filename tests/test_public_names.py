"""What ``import swalekit`` promises."""

import subprocess
import sys

import swalekit


def test_public_names_are_sorted_and_all_there():
    """Every listed name imports, and nothing is listed twice."""
    assert list(swalekit.__all__) == sorted(set(swalekit.__all__))
    for name in swalekit.__all__:
        assert getattr(swalekit, name).__name__ == name


def test_help_imports_nothing_heavy():
    """The command line's help needs neither numba nor the geospatial libraries."""
    code = (
        "import sys, swalekit.cli.main; heavy = {'numba', 'rasterio', 'geopandas', 'matplotlib', 'scipy', 'pydantic'};"
        "print(sorted(heavy & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.stdout.strip(), done.stderr) == ("[]", "")
