"""A plan on the command line beside a small plane, and what it says of input that a user may bring by mistake."""

import json
from pathlib import Path

import shapely

OPTIONS = ["--storm=50", "--curve-number=80"]
BRIEF = '[terrain]\nfile = "plane.tif"\n[storm]\ndepth_mm = 50\n[soil]\ncurve_number = 80\n[levels]\ninterval_m = 2\n'


def assert_one_line_error(result: tuple[int, str, str], *words: str) -> None:
    """Exit code 2, nothing on standard output, one line on standard error that holds the words."""
    code, out, err = result
    assert (code, out) == (2, ""), (out, err)
    assert err.startswith("swalekit: ")
    assert err.count("\n") == 1, err
    for word in words:
        assert word in err, err


def assert_refused(result: tuple[int, str, str], *words: str) -> None:
    """One line on standard error that holds the words, and no file but those that were there."""
    assert_one_line_error(result, *words)
    assert not Path("plan").exists()
    assert not list(Path().rglob(".swalekit-*"))


def assert_noted(result: tuple[int, str, str], *words: str) -> None:
    """A plan whose notes hold the words, and nothing on standard error."""
    code, out, err = result
    assert (code, err) == (0, ""), err
    for word in words:
        assert word in out, out


def vectors(*features: tuple[shapely.Geometry | None, dict[str, object]], crs: str = "EPSG::32630") -> str:
    """Write a GeoJSON file of features and give its name."""
    listed = [
        {"type": "Feature", "properties": given, "geometry": geometry and json.loads(shapely.to_geojson(geometry))}
        for geometry, given in features
    ]
    collection = {
        "type": "FeatureCollection",
        "crs": {"type": "name", "properties": {"name": f"urn:ogc:def:crs:{crs}"}},
        "features": listed,
    }
    Path("areas.geojson").write_text(json.dumps(collection), encoding="utf-8")
    return "areas.geojson"


def brief_text(text: str = "", *, replaced: tuple[str, str] = ("", "")) -> str:
    """Write a brief beside the tile and give its name."""
    Path("site.toml").write_text(BRIEF.replace(*replaced) + text, encoding="utf-8")
    return "site.toml"
