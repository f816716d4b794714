"""Crossings from files: what they are without a word, and what is no crossing."""

import json
from pathlib import Path

import pytest
import shapely

from swalekit.contours.crossing import Crossing
from swalekit.errors import GeometryError
from swalekit.formats.inputs.crossings import read_crossings
from swalekit.formats.inputs.site import site_from_values

POINT = {"type": "Point", "coordinates": [-2.3, 37.3]}
LINE = {"type": "LineString", "coordinates": [[-2.3, 37.3], [-2.29, 37.3]]}
AREA = {"type": "Polygon", "coordinates": [[[-2.3, 37.3], [-2.29, 37.3], [-2.29, 37.31], [-2.3, 37.3]]]}


def file_of(tmp_path: Path, *features: tuple[dict, dict]) -> Path:
    """A file of crossings."""
    file = tmp_path / "crossings.geojson"
    rows = [{"type": "Feature", "properties": said, "geometry": place} for place, said in features]
    file.write_text(json.dumps({"type": "FeatureCollection", "features": rows}))
    return file


def test_a_crossing_has_the_width_of_its_use_unless_it_names_one(tmp_path: Path) -> None:
    """Without a use it is a track's; each part of a feature of several is a crossing."""
    several = {"type": "MultiPoint", "coordinates": [[-2.3, 37.3], [-2.31, 37.3]]}
    file = file_of(
        tmp_path,
        (POINT, {"kind": "gap", "use": "livestock", "name": "Goats"}),
        (LINE, {"kind": "gap", "use": "footpath", "width_m": "2.2"}),
        (several, {"name": "Gates"}),
    )
    found, notes = read_crossings(file)
    assert [(way.kind, way.width_m, way.title) for way in found] == [
        ("gap", 3.0, "crossing 'Goats'"),
        ("gap", 2.2, "crossing"),
        ("gap", 4.0, "crossing 'Gates'"),
        ("gap", 4.0, "crossing 'Gates'"),
    ]
    assert notes == ()


def test_pins_of_a_phone_are_gaps_whatever_they_are_called(tmp_path: Path) -> None:
    """A farm track among the crossings is no road to keep off."""
    file = tmp_path / "ways.kml"
    mark = "<Placemark><name>Farm track</name><Point><coordinates>-2.3,37.3</coordinates></Point></Placemark>"
    file.write_text(f"<kml>{mark}</kml>")
    (way,), notes = read_crossings(file)
    assert (way.kind, way.title, notes) == ("gap", "crossing 'Farm track'", ())


@pytest.mark.parametrize(
    ("place", "said", "words"),
    [
        (POINT, {"kind": "bridge"}, "feature 1: kind is 'bridge'; it must be one of gap"),
        (POINT, {"kind": "gap", "width_m": 0}, r"feature 1: width_m is 0; it must lie between 0.5 and 50"),
        (POINT, {"kind": "gap", "width_m": "wide"}, "feature 1: width_m is 'wide'; give a number"),
        (POINT, {"kind": "gap", "use": "trak"}, "feature 1: .*use.*'trak'.*did you mean 'track'"),
        (AREA, {"kind": "gap", "name": "Yard"}, "feature 1: crossing 'Yard' is a Polygon; draw the middle of the way"),
    ],
)
def test_what_is_no_crossing_ends_in_one_line(tmp_path: Path, place: dict, said: dict, words: str) -> None:
    """File, feature, value and way out."""
    with pytest.raises(GeometryError, match=words) as error:
        read_crossings(file_of(tmp_path, (place, said)))
    assert "\n" not in str(error.value)
    assert "crossings '" in str(error.value)


def test_a_site_has_the_crossings_that_its_brief_names(tmp_path: Path) -> None:
    """They come with the site, and are brought to its CRS."""
    file = file_of(tmp_path, (POINT, {"name": "Gate"}))
    values = {"terrain.file": "t.tif", "storm.depth_mm": 50, "soil.curve_number": 80, "levels.interval_m": 2}
    (way,) = site_from_values({**values, "area.crossings": str(file)}).crossings
    assert way.title == "crossing 'Gate'"


def test_a_line_of_no_length_is_no_way():
    """As a track drawn by two taps on one place."""
    with pytest.raises(GeometryError, match="crossing 'Ford' is a line of no length; draw it along the way"):
        Crossing("gap", shapely.LineString([(3.0, 4.0), (3.0, 4.0)]), 4.0, "Ford")
