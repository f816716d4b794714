"""Files for the field: other libraries read back what was staked, and the same stakes give the same bytes."""

import os
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import ezdxf
import gpxpy
import numpy as np
import pandas as pd
import pyogrio
import pytest
from pyproj import Transformer
from read_back import csv_rows
from sites import NORTH, WEST
from staked_ground import DOWNHILL_TOE, LINE_Y, UPHILL_LIP, assert_close, cone, ring, sloping_plane, straight

from swalekit.formats.exchange import dxf, gpx, kml, landxml
from swalekit.formats.table import shielded, unshielded, write_table
from swalekit.results.stakes.table import OFFSET_COLUMNS, STAKE_COLUMNS, TABLE_COLUMNS, table_rows
from swalekit.results.stakes.write import stake_layers
from swalekit.staking.breaklines import KINDS, breaklines
from swalekit.staking.stake import Benchmark, Stakeout
from swalekit.staking.stake_out import stake_out
from swalekit.staking.tin import Tin

NAMES = ("S1", 'طابية <é> & "b"')


@pytest.fixture(scope="module")
def stakeout() -> Stakeout:
    """Two swales on a plane, one with a name that XML must escape, and a benchmark that looks like a formula."""
    swales = [straight(name=NAMES[0]), straight(name=NAMES[1], number=2, north_m=20.0)]
    return stake_out(swales, sloping_plane(), benchmark=Benchmark("=عتبة", 106.1))


def ring_stakeout() -> Stakeout:
    """A closed line."""
    return stake_out([ring()], cone())


def surface() -> Tin:
    """Two triangles of the plane."""
    xy = np.add([[0.0, 0.0], [50.0, 0.0], [50.0, 20.0], [0.0, 20.0]], [WEST, LINE_Y])
    return Tin(np.column_stack([xy, [106.0, 106.0, 108.0, 108.0]]), np.array([[0, 1, 2], [0, 2, 3]]))


def write_all(stakeout: Stakeout, folder: Path) -> list[Path]:
    """Every format of this page."""
    write_table(table_rows(stakeout), TABLE_COLUMNS, folder / "stakes.csv")
    gpx.write_gpx(stakeout, folder / "a.gpx")
    dxf.write_dxf(stakeout, folder / "a.dxf")
    kml.write_kml(stakeout, folder / "a.kml")
    landxml.write_landxml(stakeout, folder / "a.xml", surface=surface())
    return sorted(folder.iterdir())


def positions(stakeout: Stakeout) -> np.ndarray:
    """Longitude and latitude of the stakes."""
    to_degrees = Transformer.from_crs("EPSG:32630", "EPSG:4326", always_xy=True)
    return np.array([to_degrees.transform(stake.x_m, stake.y_m) for stake in stakeout.stakes])


def test_same_stakes_same_bytes(stakeout, tmp_path):
    """Nothing of the time of day or of chance is in a file."""
    for name in ("first", "second"):
        (tmp_path / name).mkdir()
    first, second = (write_all(stakeout, tmp_path / name) for name in ("first", "second"))
    assert [item.read_bytes() for item in first] == [item.read_bytes() for item in second]
    assert len(first) == 5
    assert str(tmp_path).encode() not in b"".join(item.read_bytes() for item in first)


def test_a_drawing_is_the_same_in_every_process(tmp_path):
    """Python shuffles sets anew in each; a drawing of no stakes shows it."""
    script = (
        "import sys; from swalekit.formats.exchange.dxf import write_dxf; from swalekit.staking.stake import Stakeout; "
        "write_dxf(Stakeout((), (), None, None), sys.argv[1])"
    )
    for seed in "15":
        environment = os.environ | {"PYTHONHASHSEED": seed}
        subprocess.run([sys.executable, "-c", script, str(tmp_path / f"{seed}.dxf")], env=environment, check=True)
    assert len({(tmp_path / f"{seed}.dxf").read_bytes() for seed in "15"}) == 1


def test_table_of_stakes_is_read_by_another_library(stakeout, tmp_path):
    """Every declared column, a row a stake, heights above the benchmark, names whole in a spreadsheet."""
    write_table(table_rows(stakeout), TABLE_COLUMNS, tmp_path / "stakes.csv")
    table = pd.read_csv(tmp_path / "stakes.csv")
    assert list(table) == [column.name for column in TABLE_COLUMNS]
    assert table["number"].tolist() == [stake.number for stake in stakeout.stakes]
    first = table.iloc[0]
    assert (first["ground_m"], first["floor_m"], first["dig_m"], first["crest_m"]) == (106.0, 105.5, 0.5, 106.4)
    assert (first["ground_above_m"], first["floor_above_m"], first["crest_above_m"]) == (-0.1, -0.6, 0.3)
    assert first["uphill_number"] == 1301
    assert first["uphill_northing_m"] == pytest.approx(LINE_Y + UPHILL_LIP + 1.0, abs=1e-3)
    assert first["uphill_to_floor_m"] == pytest.approx(105.5 - (106.0 + 0.1 * (UPHILL_LIP + 1.0)), abs=1e-3)
    assert table["sill_above_m"].notna().sum() == 6
    assert_close(table[["longitude", "latitude"]], positions(stakeout), atol=1e-8)
    assert set(table["swale"]) == set(NAMES)
    assert (tmp_path / "stakes.csv").read_bytes().startswith(b"\xef\xbb\xbf")
    assert csv_rows(tmp_path / "stakes.csv")[0]["benchmark"] == "'=عتبة"


def test_without_a_benchmark_relative_heights_are_empty(tmp_path):
    """And so are the columns of an offset stake that is left out."""
    near = [straight(), straight(name="S2", number=2, north_m=-6.0)]
    write_table(table_rows(stake_out(near, sloping_plane())), TABLE_COLUMNS, tmp_path / "stakes.csv")
    table = pd.read_csv(tmp_path / "stakes.csv")
    assert table[["benchmark", "ground_above_m", "sill_above_m"]].isna().all(axis=None)
    assert table.loc[table["swale"] == "S1", "downhill_number"].isna().all()
    assert table.loc[table["swale"] == "S1", "uphill_number"].notna().all()


def test_height_off_the_tile_is_an_empty_cell(tmp_path):
    """Not a word that another reader may not know."""
    write_table(
        table_rows(stake_out([straight(north_m=-57.0)], sloping_plane())), TABLE_COLUMNS, tmp_path / "stakes.csv"
    )
    row = csv_rows(tmp_path / "stakes.csv")[0]
    assert (row["downhill_number"], row["downhill_ground_m"], row["downhill_to_crest_m"]) == ("1601", "", "")


def test_layers_open_in_the_project_crs(stakeout, tmp_path):
    """A point a stake, with the declared columns; a figure that all stakes lack stays a number."""
    bare = stake_out([straight()], sloping_plane())
    for name, frame in stake_layers(bare).items():
        pyogrio.write_dataframe(frame, tmp_path / "s.gpkg", layer=name, driver="GPKG", append=name != "stakes")
    stakes = pyogrio.read_dataframe(tmp_path / "s.gpkg", layer="stakes")
    offsets = pyogrio.read_dataframe(tmp_path / "s.gpkg", layer="stake offsets")
    assert list(stakes)[:-1] == [column.name for column in STAKE_COLUMNS]
    assert list(offsets)[:-1] == [column.name for column in OFFSET_COLUMNS]
    assert stakes.crs == "EPSG:32630"
    assert_close(stakes.geometry.x, [stake.x_m for stake in bare.stakes], atol=1e-3)
    assert stakes["ground_above_m"].dtype == float
    assert offsets["side"].tolist() == ["uphill", "downhill"] * len(stakes)
    assert offsets["stake"].tolist() == np.repeat(stakes["number"], 2).tolist()
    assert all(frame.empty for frame in stake_layers(stake_out([], sloping_plane())).values())


@pytest.mark.parametrize("make", [stake_out, None])
def test_gpx_is_read_by_another_library(stakeout, tmp_path, make):
    """Version 1.1 without times: a waypoint a stake, a track a swale; a ring's track comes back to its start."""
    staked = stakeout if make else ring_stakeout()
    gpx.write_gpx(staked, tmp_path / "a.gpx")
    text = (tmp_path / "a.gpx").read_text(encoding="utf-8")
    read = gpxpy.parse(text)
    assert (read.version, "<time>" in text) == ("1.1", False)
    found = np.array([(waypoint.longitude, waypoint.latitude) for waypoint in read.waypoints])
    assert_close(found, positions(staked), atol=1e-8)
    assert [waypoint.name for waypoint in read.waypoints] == [str(stake.number) for stake in staked.stakes]
    assert_close([waypoint.elevation for waypoint in read.waypoints], [s.ground_m for s in staked.stakes])
    assert [track.name for track in read.tracks] == [swale.id for swale in staked.swales]
    for track, swale in zip(read.tracks, staked.swales, strict=True):
        assert track.length_2d() == pytest.approx(swale.line.length_m, rel=5e-3)  # the reader measures on a sphere
    assert len(pyogrio.read_dataframe(tmp_path / "a.gpx", layer="waypoints")) == len(staked.stakes)
    assert len(pyogrio.read_dataframe(tmp_path / "a.gpx", layer="tracks")) == len(staked.swales)


def test_kml_is_read_by_another_library(stakeout, tmp_path):
    """Names come back whole, positions to a millimetre."""
    kml.write_kml(stakeout, tmp_path / "a.kml")
    lines = pyogrio.read_dataframe(tmp_path / "a.kml", layer="swales")
    stakes = pyogrio.read_dataframe(tmp_path / "a.kml", layer="stakes")
    assert lines["Name"].tolist() == list(NAMES)
    assert stakes["Name"].tolist() == [str(stake.number) for stake in stakeout.stakes]
    assert_close(stakes.get_coordinates(), positions(stakeout), atol=1e-8)
    metres = lines.to_crs("EPSG:32630").geometry
    assert_close(metres.length, [swale.line.length_m for swale in stakeout.swales], atol=2e-3)
    kml.write_kml(ring_stakeout(), tmp_path / "ring.kml")
    assert pyogrio.read_dataframe(tmp_path / "ring.kml", layer="swales").geometry[0].is_ring
    assert ET.parse(tmp_path / "a.kml").getroot().tag == "{http://www.opengis.net/kml/2.2}kml"


def read_dxf(path: Path):
    """The drawing, which must have nothing to mend."""
    drawing = ezdxf.readfile(path)
    auditor = drawing.audit()
    assert (len(auditor.errors), len(auditor.fixes)) == (0, 0)
    return drawing


def test_dxf_is_read_by_another_library(stakeout, tmp_path):
    """Metres, the named layers, every edge where it is in space, every stake with its number."""
    dxf.write_dxf(stakeout, tmp_path / "a.dxf")
    drawing = read_dxf(tmp_path / "a.dxf")
    assert (drawing.dxfversion, drawing.header["$INSUNITS"]) == ("AC1024", 6)
    assert set(dxf.LAYERS) <= {layer.dxf.name for layer in drawing.layers}
    assert list(dxf.LAYERS)[: len(KINDS)] == [kind.upper() for kind in KINDS]
    assert drawing.header["$EXTMIN"][1] == pytest.approx(LINE_Y - DOWNHILL_TOE, abs=1e-3)
    space = drawing.modelspace()
    drawn = [(entity.dxf.layer, np.array([tuple(p) for p in entity.points()])) for entity in space.query("POLYLINE")]
    edges = [edge for swale in stakeout.swales for edge in breaklines(swale)]
    for (layer, xyz), edge in zip(drawn, edges, strict=True):
        assert layer == edge.kind.upper()
        assert_close(xyz, edge.xyz, atol=1e-3)
    points = [tuple(entity.dxf.location) for entity in space.query('POINT[layer=="STAKES"]')]
    assert_close(points, [(stake.x_m, stake.y_m, stake.ground_m) for stake in stakeout.stakes], atol=1e-3)
    labels = [entity.dxf.text for entity in space.query("TEXT")]
    assert labels[:3] == ["1001 dig 0.50", "1301", "1601"]
    assert len(space.query('POINT[layer=="STAKE OFFSETS"]')) == 2 * len(stakeout.stakes)


def test_dxf_closes_rings_and_leaves_out_what_has_no_height(tmp_path):
    """A ring's edges are closed polylines; an offset stake off the tile has no point."""
    dxf.write_dxf(ring_stakeout(), tmp_path / "ring.dxf")
    layers = {
        entity.dxf.layer: entity.is_closed for entity in read_dxf(tmp_path / "ring.dxf").modelspace().query("POLYLINE")
    }
    assert layers == {kind.upper(): kind != "sill" for kind in KINDS if kind != "berm return"}
    stakeout = stake_out([straight(north_m=-57.0)], sloping_plane())
    dxf.write_dxf(stakeout, tmp_path / "edge.dxf")
    offsets = read_dxf(tmp_path / "edge.dxf").modelspace().query('POINT[layer=="STAKE OFFSETS"]')
    assert len(offsets) == len(stakeout.stakes)


def test_dxf_leaves_the_library_as_it_was(stakeout, tmp_path):
    """Fixed dates are for this file only."""
    dxf.write_dxf(stakeout, tmp_path / "a.dxf")
    assert ezdxf.options.write_fixed_meta_data_for_testing is False


def numbers(element: ET.Element) -> list[float]:
    """The numbers in an element's text."""
    return [float(word) for word in element.text.split()]


def read_landxml(stakeout: Stakeout, path: Path, **choices):
    """Root of a written file, and the prefix of its namespace for searching."""
    landxml.write_landxml(stakeout, path, **choices)
    return ET.parse(path).getroot(), {"x": "http://www.landxml.org/schema/LandXML-1.2"}


def test_landxml_has_units_and_required_attributes(stakeout, tmp_path):
    """Metric units, one of each; version, date and time on the root."""
    root, names = read_landxml(stakeout, tmp_path / "a.xml")
    assert root.tag == "{http://www.landxml.org/schema/LandXML-1.2}LandXML"
    assert (root.get("version"), root.get("date"), root.get("time")) == ("1.2", "2000-01-01", "00:00:00")
    (metric,) = root.findall("x:Units/x:Metric", names)
    assert (metric.get("linearUnit"), metric.get("areaUnit")) == ("meter", "squareMeter")
    assert root.find("x:CoordinateSystem", names).get("epsgCode") == "32630"
    assert root.find("x:Surfaces", names) is None


def test_landxml_points_are_northing_easting_elevation(stakeout, tmp_path):
    """Every stake and offset stake by its number."""
    root, names = read_landxml(stakeout, tmp_path / "a.xml")
    points = {int(element.get("name")): numbers(element) for element in root.findall("x:CgPoints/x:CgPoint", names)}
    assert len(points) == 3 * len(stakeout.stakes)
    for stake in stakeout.stakes:
        assert_close(points[stake.number], [stake.y_m, stake.x_m, stake.ground_m], atol=1e-3)
        assert points[stake.uphill.number][0] == pytest.approx(stake.uphill.y_m, abs=1e-3)


@pytest.mark.parametrize("closed", [False, True])
def test_landxml_alignments_follow_the_lines(stakeout, tmp_path, closed):
    """Legs join end to start, add up to the length, and the profile is the floor."""
    staked = ring_stakeout() if closed else stakeout
    root, names = read_landxml(staked, tmp_path / "a.xml")
    alignments = root.findall("x:Alignments/x:Alignment", names)
    assert [alignment.get("name") for alignment in alignments] == [swale.id for swale in staked.swales]
    for alignment, swale in zip(alignments, staked.swales, strict=True):
        legs = alignment.findall("x:CoordGeom/x:Line", names)
        assert sum(float(leg.get("length")) for leg in legs) == pytest.approx(swale.line.length_m, abs=5e-3)
        starts, ends = (np.array([numbers(leg.find(f"x:{end}", names)) for leg in legs]) for end in ("Start", "End"))
        np.testing.assert_array_equal(starts[1:], ends[:-1])
        assert np.array_equal(starts[0], ends[-1]) == closed
        assert_close(starts[:, ::-1], swale.line.xy[: len(starts)], atol=1e-3)
        grades = [numbers(element) for element in alignment.findall("x:Profile/x:ProfAlign/x:PVI", names)]
        floor = swale.line.level_m - 0.5
        assert_close(grades, [[0.0, floor], [swale.line.length_m, floor]], atol=1e-3)


def test_landxml_surface_is_the_given_one(stakeout, tmp_path):
    """Points are numbered from 1, faces name points that exist."""
    tin = surface()
    root, names = read_landxml(stakeout, tmp_path / "a.xml", surface=tin)
    definition = root.find("x:Surfaces/x:Surface/x:Definition", names)
    assert definition.get("surfType") == "TIN"
    points = {int(element.get("id")): numbers(element) for element in definition.findall("x:Pnts/x:P", names)}
    assert_close([points[k + 1] for k in range(len(points))], tin.xyz[:, [1, 0, 2]], atol=1e-3)
    faces = np.array([numbers(element) for element in definition.findall("x:Faces/x:F", names)])
    np.testing.assert_array_equal(faces - 1, tin.faces)


def test_empty_layout_gives_files_that_open(tmp_path):
    """No swale, no stake, and every reader is content."""
    write_all(stake_out([], sloping_plane()), tmp_path)
    assert len(gpxpy.parse((tmp_path / "a.gpx").read_text(encoding="utf-8")).waypoints) == 0
    assert len(read_dxf(tmp_path / "a.dxf").modelspace()) == 0
    assert pd.read_csv(tmp_path / "stakes.csv").empty
    assert ET.parse(tmp_path / "a.xml").find(".//{*}Alignment") is None


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@x", "\tx", "\rx", "'=1", "''@x"])
def test_formulas_are_shielded_and_come_back(text):
    """An apostrophe more, whatever stood in front."""
    assert shielded(text) == f"'{text}"
    assert unshielded(shielded(text)) == text


@pytest.mark.parametrize("text", ["", "S1", "'tis", "a=b", "بوابة"])
def test_plain_text_stays(text):
    """There and back."""
    assert shielded(text) == unshielded(text) == text


def test_ring_is_round_the_cone():
    """The twin used above lies where the cone's level is."""
    assert np.hypot(*(ring().line.xy - [WEST + 60.0, NORTH - 60.0]).T) == pytest.approx(30.0)
