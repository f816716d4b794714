"""Survey point files: written, and read in whatever shape an instrument leaves them."""

import csv
import re

import numpy as np
import pandas as pd
import pytest
from staked_ground import assert_close

from swalekit.errors import InputError
from swalekit.formats.exchange.points_csv import METRES_PER, ORDERS, read_points, write_points
from swalekit.terrain.survey_points import SurveyPoints


def points() -> SurveyPoints:
    """Three points, the second without a height, with descriptions that a careless writer would spoil."""
    return SurveyPoints(
        np.array([1001, 1301, 3]),
        np.array([562_477.6256, 562_478.1116, -12.5]),
        np.array([4_132_576.8424, 4_132_579.1767, 0.0]),
        np.array([529.0487, np.nan, -401.25]),
        ('gate, "north"', "حديقة é", "=1+1"),
    )


def assert_same(read: SurveyPoints, written: SurveyPoints) -> None:
    """Every part agrees, lengths to a millimetre."""
    assert read.number.tolist() == written.number.tolist()
    for name in ("easting_m", "northing_m", "height_m"):
        assert_close(getattr(read, name), getattr(written, name), atol=6e-4)
    assert read.description == written.description


def saved(tmp_path, text, *, encoding="utf-8"):
    """A file of that text."""
    path = tmp_path / "points.csv"
    path.write_bytes(text.encode(encoding))
    return path


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("unit", METRES_PER)
@pytest.mark.parametrize("header", [True, False])
def test_points_come_back_as_they_were_written(tmp_path, order, unit, header):
    """In both orders, every unit, with and without a heading."""
    write_points(points(), tmp_path / "p.csv", order=order, unit=unit, header=header)
    assert_same(read_points(tmp_path / "p.csv", order=order, unit=unit), points())


def test_another_reader_finds_the_columns(tmp_path):
    """Northing before easting, feet by the international foot, an empty height, no byte order mark."""
    write_points(points(), tmp_path / "p.csv", unit="ft")
    table = pd.read_csv(tmp_path / "p.csv")
    assert list(table) == ["point", "northing", "easting", "elevation", "description"]
    assert_close(table["northing"] * 0.3048, points().northing_m, atol=6e-4)
    assert_close(table["elevation"] * 0.3048, points().height_m, atol=6e-4)
    assert not (tmp_path / "p.csv").read_bytes().startswith(b"\xef\xbb\xbf")


def test_survey_foot_differs_from_the_international_foot(tmp_path):
    """By 2 in a million: 8 m at a northing of 4 132 577 m."""
    write_points(points(), tmp_path / "p.csv", unit="us-ft")
    wrong = read_points(tmp_path / "p.csv", unit="ft")
    assert points().northing_m[0] - wrong.northing_m[0] == pytest.approx(4_132_576.8424 * 2e-6, rel=1e-4)


def test_description_is_no_formula(tmp_path):
    """A spreadsheet shows it."""
    write_points(points(), tmp_path / "p.csv")
    with (tmp_path / "p.csv").open(encoding="utf-8", newline="") as file:
        assert [row[4] for row in csv.reader(file)][-1] == "'=1+1"


@pytest.mark.parametrize(
    "text",
    [
        "1;10,5;20,25;3,125;tree\n2;11;21;;\n",
        "\ufeffPoint;Northing;Easting;Elev;Code\r\n1;10,5;20,25;3,125;tree\r\n2;11;21\r\n",
        "1\t10.5\t20.25\t3.125\ttree\n\n2\t11\t21\n",
        "P, N, E, Z, D\n1, 10.5, 20.25, 3.125, tree\n# checked\n2, 11, 21, ,\n",
    ],
)
def test_every_shape_of_file_is_read(tmp_path, text):
    """Semicolons with decimal commas, a byte order mark, tabs, blanks, missing heights."""
    read = read_points(saved(tmp_path, text))
    assert read.number.tolist() == [1, 2]
    assert_close(read.northing_m, [10.5, 11.0])
    assert_close(read.easting_m, [20.25, 21.0])
    np.testing.assert_array_equal(read.height_m, [3.125, np.nan])
    assert read.description == ("tree", "")


@pytest.mark.parametrize(
    "text", ["1,2,3,4,tree, old,leaning\n", "1;2,0;3;4,5;tree, old; leaning\n", "1\t2\t3\t4\ttree, old, leaning\n"]
)
def test_commas_of_a_description_are_kept(tmp_path, text):
    """What stands behind the fifth column belongs to it; a comma is decimal in numbers only."""
    assert read_points(saved(tmp_path, text)).description == ("tree, old, leaning",)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("1,2,3,4,a\n2,2,3,4,b\n\n1,2,3,4,c\n", "line 4: point 1 stands in line 1 already"),
        ("P,N,E,Z,D\n1,2,high,4,a\n", "line 2: 'high' in column 3 is not a number"),
        ("1,2,3,4,a\n2,2,3,4m,a\n", "line 2: '4m' in column 4 is not a number"),
        ("1,2,3,4,a\n2,,3,4,a\n", "line 2: '' in column 2 is not a number"),
        ("1,2,3,4,a\n7,8\n", "line 2: '' in column 3 is not a number"),
        ("1,2,inf,4,a\n", "line 1: 'inf' in column 3 is "),
        ("BM,2,3,4,a\n1,2,3,4,a\n", "line 1: 'BM' is no point number"),
        ("1,2,3,4,a\nA12,2,3,4,a\n", "line 2: 'A12' is no point number"),
        ("1,2,3,4,a\n1.5,2,3,4,a\n", "line 2: '1.5' is no point number"),
        ("Point,Easting,Northing,Z\n1,2,3,4\n", "line 1: 'Easting' comes before 'Northing', which is PENZD"),
        ("Nr,Y,X,Z\n1,2,3,4\n", None),
    ],
)
def test_faults_name_file_and_line(tmp_path, text, fault):
    """Nothing is dropped or guessed."""
    path = saved(tmp_path, text)
    if fault is None:
        assert read_points(path).northing_m.tolist() == [2.0]
        return
    with pytest.raises(InputError, match=re.escape(fault)) as caught:
        read_points(path)
    assert str(path) in str(caught.value)
    assert "\n" not in str(caught.value)


def test_heading_alone_is_no_points(tmp_path):
    """The arrays are empty, not an error: nothing was measured yet."""
    assert len(read_points(saved(tmp_path, "P,N,E,Z,D\n")).number) == 0


@pytest.mark.parametrize(("choice", "match"), [({"order": "NEZ"}, "order is 'NEZ'"), ({"unit": "cm"}, "unit is 'cm'")])
def test_unknown_order_or_unit_fails(tmp_path, choice, match):
    """Reading and writing alike."""
    with pytest.raises(InputError, match=match):
        write_points(points(), tmp_path / "p.csv", **choice)
    with pytest.raises(InputError, match=match):
        read_points(saved(tmp_path, "1,2,3,4,a\n"), **choice)
