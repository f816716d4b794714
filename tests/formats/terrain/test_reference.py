"""References that say where on the earth a file lies, and those that don't."""

import pytest
from pyproj import CRS

from swalekit.errors import TerrainError
from swalekit.formats.terrain.reference import earthly, height_unit, settled_crs

UTM = CRS.from_epsg(32612)
METHOD = 'METHOD["Transverse Mercator",ID["EPSG",9807]]'


def test_crs_that_leads_nowhere_is_none():
    """A projection by a method that nobody knows, and the plane of a drawing, don't say where a file lies."""
    unknown = CRS.from_wkt(UTM.to_wkt().replace(METHOD, 'METHOD["Unheard of"]'))
    drawing = CRS.from_wkt(
        'ENGCRS["site",EDATUM["peg"],CS[Cartesian,2],AXIS["x",east],AXIS["y",north],LENGTHUNIT["metre",1]]'
    )
    assert earthly(UTM) == UTM
    assert [earthly(crs) for crs in (unknown, drawing, None)] == [None, None, None]


def test_own_crs_goes_before_the_given_one():
    """What is given is taken where the file names none, with a note; without either it is asked for."""
    other = CRS.from_epsg(26912)
    assert settled_crs("a.tif", UTM, other) == (UTM, [])
    assert settled_crs("a.tif", None, other)[0] == other
    with pytest.raises(TerrainError, match=r"--crs EPSG:32612, or else$"):
        settled_crs("a.tif", None, None, beside=", or else")


@pytest.mark.parametrize(
    ("crs", "declared", "given", "metres"),
    [
        ("EPSG:32612", "", None, 1.0),
        ("EPSG:32612", "Foot", None, 0.3048),
        ("EPSG:32612", "foot", "us-ft", 1200 / 3937),
        ("EPSG:2225+6360", "", None, 1200 / 3937),
        ("EPSG:2225+5703", "", None, 1.0),
        ("EPSG:4326", "", None, 1.0),
    ],
)
def test_unit_is_what_is_given_then_declared_then_of_the_crs(crs, declared, given, metres):
    """The brief goes before the file, the file's word before its CRS."""
    assert height_unit("a.tif", CRS(crs), declared=declared, given=given)[0] == pytest.approx(metres, rel=1e-12)
