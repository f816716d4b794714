"""Files of measured points: what is read, and what is refused with its line."""

from pathlib import Path

import numpy as np
import pytest
from pyproj import CRS, Transformer

from swalekit.errors import InputError
from swalekit.formats.inputs.measured_points import read_measured_points

UTM = CRS("EPSG:32630")
PLAIN = "name,easting_m,northing_m,height_m\ngate,500010.5,3999990.25,101.5\nwell,500020,3999980,99.125\n"


def given(folder: Path, text: str) -> Path:
    """A file with a text."""
    path = folder / "points.csv"
    path.write_text(text, encoding="utf-8")
    return path


def read(folder: Path, text: str, **choices):
    """Points and notes of a text, in UTM."""
    return read_measured_points(given(folder, text), UTM, **choices)


def test_points_are_read_as_they_stand(tmp_path):
    """Names as descriptions, numbers by row."""
    points, notes = read(tmp_path, PLAIN)
    assert (points.description, points.number.tolist(), notes) == (("gate", "well"), [1, 2], ())
    assert (points.easting_m[0], points.northing_m[0], points.height_m[1]) == (500010.5, 3999990.25, 99.125)


@pytest.mark.parametrize(
    "text",
    [
        "\ufeffPoint ID;E;N;Z\ngate;500010,5;3999990,25;101,5\nwell;500020;3999980;99,125\n",
        "x\ty\televation\tpoint\n500010.5\t3999990.25\t101.5\tgate\n500020\t3999980\t99.125\twell\n",
        "HRMS,Northing (m),Easting (m),Elev [m],Id\n.1,3999990.25,500010.5,101.5,gate\n.1,3999980,500020,99.125,well\n",
        "# level of May\n\nname,east,north,height\ngate,500010.5,3999990.25,101.5\n\nwell,500020,3999980,99.125\n",
    ],
)
def test_usual_spellings_and_marks_are_understood(tmp_path, text):
    """Semicolons with decimal commas, tabs, byte order mark, other names, orders and columns."""
    points, _ = read(tmp_path, text)
    plain, _ = read(tmp_path, PLAIN)
    assert points.description == plain.description
    for name in ("easting_m", "northing_m", "height_m"):
        np.testing.assert_array_equal(getattr(points, name), getattr(plain, name))


def test_points_without_a_name_have_their_number(tmp_path):
    """Without a column of names, or where its cell is empty."""
    assert read(tmp_path, "e,n,z\n1,2,3\n4,5,6\n")[0].description == ("1", "2")
    assert read(tmp_path, "id,e,n,z\n,1,2,3\nB,4,5,6\n")[0].description == ("1", "B")


@pytest.mark.parametrize(
    ("head", "unit", "factor"),
    [
        ("height_ft", None, 0.3048),
        ("Z (ft)", "ft", 0.3048),
        ("elev", "us-ft", 1200 / 3937),
        ("height_us_ft", None, 1200 / 3937),
        ("z", None, 1.0),
    ],
)
def test_heights_in_feet_become_metres(tmp_path, head, unit, factor):
    """By the name of the column or by the brief."""
    points, _ = read(tmp_path, f"e,n,{head}\n500000,3999990,333\n", unit=unit)
    assert points.height_m[0] == pytest.approx(333 * factor, rel=1e-12)


def test_points_of_another_crs_are_brought_to_the_terrain(tmp_path):
    """Degrees, and a grid in US survey feet; heights stay."""
    to_degrees = Transformer.from_crs(UTM, "EPSG:4326", always_xy=True)
    longitude, latitude = to_degrees.transform(500010.5, 3999990.25)
    points, _ = read(tmp_path, f"lat,lon,h\n{latitude:.10f},{longitude:.10f},101.5\n", crs="EPSG:4326")
    assert [points.easting_m[0], points.northing_m[0]] == pytest.approx([500010.5, 3999990.25], abs=1e-3)
    assert points.height_m[0] == 101.5
    utm, feet = CRS("EPSG:32610"), Transformer.from_crs("EPSG:32610", "EPSG:2225", always_xy=True)
    x, y = feet.transform(500010.5, 4399990.25)
    path = given(tmp_path, f"Easting (us-ft),Northing (us-ft),Z (us-ft)\n{x:.4f},{y:.4f},328.0\n")
    points, _ = read_measured_points(path, utm, crs="EPSG:2225")
    assert [points.easting_m[0], points.northing_m[0]] == pytest.approx([500010.5, 4399990.25], abs=1e-3)


def test_what_is_there_twice_is_told(tmp_path):
    """A row repeated counts once; one place with two heights, and one name of two points, count twice."""
    text = f"{PLAIN}gate,500010.5,3999990.25,101.5\npost,500020,3999980,99.325\ngate,500030,3999970,98\n"
    points, notes = read(tmp_path, text)
    assert points.description == ("gate", "well", "post", "gate")
    assert points.number.tolist() == [1, 2, 4, 5]
    told = [note.rpartition("points.csv': ")[2] for note in notes]
    assert told == [
        "lines that say again what one before says are left out: 4",
        "'well' and 'post' lie at one place with heights 0.200 m apart; both count",
        "names that several points have: 'gate'",
    ]


@pytest.mark.parametrize(
    ("text", "choices", "words"),
    [
        (
            PLAIN.replace("101.5", "high"),
            {},
            r"line 2: 'high' in column 4 is not a number; write the height as a number",
        ),
        (PLAIN.replace("3999980", ""), {}, r"line 3: '' in column 3 is not a number; write the northing"),
        (PLAIN.replace(",99.125", ""), {}, r"line 3: '' in column 4 is not a number; write the height"),
        (PLAIN.replace("99.125", "1e5"), {}, r"line 3: a height of 100000 m is none on earth"),
        (PLAIN.replace("height_m", "heigth_m"), {}, r"line 1: there is no column height_m; is it 'heigth_m'\?"),
        ("1,500010.5,3999990.25,101.5\n2,500020,3999980,99\n", {}, "line 1: there is no column easting_m"),
        ("e,n,z\n", {}, "line 1: no point stands below it"),
        ("", {}, "is empty"),
        (PLAIN.replace("name", "elevation"), {}, r"line 1: 'elevation' and 'height_m' both name the height"),
        (PLAIN, {"crs": "EPSG:999999"}, r"points.csv': crs is 'EPSG:999999'"),
        (PLAIN, {"unit": "inch"}, r"points.csv': points_unit is 'inch'"),
        (PLAIN, {"unit": "ft"}, r'line 1: the heights are in m there, but points_unit is "ft"'),
        (PLAIN, {"crs": "EPSG:4326"}, r"line 1: the easting is in m there, but WGS 84 is in units of a degree"),
        (
            PLAIN.replace("easting_m", "easting_ft"),
            {},
            r"line 1: the easting is in ft there, but WGS 84 / UTM zone 30N",
        ),
        (
            "lat,lon,z\n36.1,-3.0,100\n",
            {},
            'line 1: its columns are in degrees; name their CRS by points_crs, as "EPSG',
        ),
        (
            "x,y,z\n36.1,-99,100\n",
            {"crs": "EPSG:4326"},
            r"line 2: the point lies where WGS 84 / UTM zone 30N has no place",
        ),
    ],
)
def test_faults_are_named_with_their_line(tmp_path, text, choices, words):
    """In one line that says what to do."""
    with pytest.raises(InputError, match=words) as caught:
        read(tmp_path, text, **choices)
    assert "points.csv" in str(caught.value)
    assert "\n" not in str(caught.value)
