"""Boundaries and keep-outs as phones, receivers and land registries hand them over."""

import io
import zipfile

import geopandas
import gpxpy.gpx
import pytest
import shapely
import shapely.ops
from pyproj import CRS, Transformer

from swalekit.design.brief.site import WGS84
from swalekit.errors import GeometryError
from swalekit.formats.inputs.polygons import read_features, read_polygon
from swalekit.formats.inputs.site import site_from_values

UTM30 = CRS("EPSG:32630")
FIELD = shapely.Polygon([(500_000, 4_100_000), (500_200, 4_100_010), (500_190, 4_100_150), (500_020, 4_100_140)])
TO_DEGREES = Transformer.from_crs(UTM30, WGS84, always_xy=True)


def degrees(geometry):
    """A geometry of UTM zone 30 in longitude and latitude."""
    return shapely.transform(geometry, TO_DEGREES.transform, interleaved=False)


def triples(geometry):
    """Coordinates as a phone writes them: longitude, latitude, height."""
    return " ".join(f"{x:.9f},{y:.9f},{512.3}" for x, y in shapely.get_coordinates(degrees(geometry)))


def kml(*placemarks, namespace="http://www.opengis.net/kml/2.2"):
    """A document with folders in folders, styles, and what else phones write round placemarks."""
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<kml xmlns="{namespace}" xmlns:gx="http://www.google.com/kml/ext/2.2"><Document><name>Land of Aurelia</name>'
        '<Style id="a"><LineStyle><color>ff0000ff</color></LineStyle></Style><Folder><name>Spring</name><Folder>'
        f"<name>Survey</name>{''.join(placemarks)}</Folder></Folder></Document></kml>"
    )


def mark(shape, name="", inside=""):
    """A placemark."""
    return f"<Placemark><name>{name}</name><styleUrl>#a</styleUrl>{inside}{shape}</Placemark>"


def ring(geometry, side="outer"):
    """A side of a polygon."""
    coordinates = f"<coordinates>\n {triples(geometry)}\n</coordinates>"
    return f"<{side}BoundaryIs><LinearRing>{coordinates}</LinearRing></{side}BoundaryIs>"


def line(geometry):
    """A line."""
    return f"<LineString><tessellate>1</tessellate><coordinates>{triples(geometry)}</coordinates></LineString>"


def point(x, y):
    """A pin."""
    return f"<Point><coordinates>{triples(shapely.Point(x, y))}</coordinates></Point>"


def walked(gap_m):
    """The field's outline, walked up to so many metres before the start."""
    outline = FIELD.exterior
    return shapely.ops.substring(outline, 0.0, outline.length - gap_m) if gap_m else shapely.LineString(outline.coords)


@pytest.fixture
def saved(tmp_path):
    """Write text or bytes to a file and give the path."""

    def save(content, name):
        path = tmp_path / name
        path.write_bytes(content.encode() if isinstance(content, str) else content)
        return path

    return save


def test_a_polygon_of_a_globe_is_the_land(saved):
    """Nested folders, styles and heights don't disturb; a hole stays a hole."""
    hole = shapely.box(500_060, 4_100_050, 500_080, 4_100_070)
    shape = f"<Polygon><extrude>1</extrude>{ring(FIELD)}{ring(hole, 'inner')}</Polygon>"
    area, notes = read_polygon(saved(kml(mark(shape, "Land")), "land.kml"), UTM30)
    assert area.symmetric_difference(FIELD - hole).area < 0.1
    assert notes == ()


@pytest.mark.parametrize("name", ["doc.kml", "files/land.kml"])
def test_a_packed_globe_file_is_unpacked(saved, name):
    """KMZ by what it holds, whatever it is called."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("images/photo.jpg", b"\xff\xd8")
        archive.writestr(name, kml(mark(f"<Polygon>{ring(FIELD)}</Polygon>")))
    area, _ = read_polygon(saved(packed.getvalue(), "land.kmz"), UTM30)
    assert area.symmetric_difference(FIELD).area < 0.1


@pytest.mark.parametrize("namespace", ["http://www.opengis.net/kml/2.2", "http://earth.google.com/kml/2.1"])
def test_a_walked_line_of_a_phone_is_closed(saved, namespace):
    """A line or a recorded track that ends 8 m before its start is closed over them, and that is told."""
    coords = "".join(f"<gx:coord>{x:.9f} {y:.9f} 512</gx:coord>" for x, y in degrees(walked(8.0)).coords)
    for shape in (line(walked(8.0)), f"<gx:Track><when>2026-03-01T08:00:00Z</when>{coords}</gx:Track>"):
        area, notes = read_polygon(saved(kml(mark(shape, "Walk"), namespace=namespace), "walk.kml"), UTM30)
        assert area.symmetric_difference(FIELD).area < 60.0
        assert notes[0].endswith("a line of 645 m was closed over the 8.0 m between its ends")


@pytest.mark.parametrize(("gap_m", "closes"), [(0.0, True), (24.0, True), (26.0, False)])
def test_ends_more_than_25_m_apart_are_not_joined(saved, gap_m, closes):
    """The rule is told with the length and the gap."""
    path = saved(kml(mark(line(walked(gap_m)))), "walk.kml")
    if closes:
        assert read_polygon(path, UTM30)[0].area == pytest.approx(FIELD.area, rel=0.02)
        return
    with pytest.raises(GeometryError, match=r"are 26 m apart.*within 25 m and a tenth of its length.*walk on"):
        read_polygon(path, UTM30)


def test_ends_farther_apart_than_a_tenth_of_a_short_line_are_not_joined(saved):
    """Three sides of a shed are no shed, though its corners are near each other."""
    three_sides = shapely.LineString(
        [(500_000, 4_100_000), (500_020, 4_100_000), (500_020, 4_100_010), (500_000, 4_100_010)]
    )
    with pytest.raises(GeometryError, match="line of 50 m are 10 m apart"):
        read_polygon(saved(kml(mark(line(three_sides))), "shed.kml"), UTM30)


def gpx(*segments, waypoints=()):
    """A track of a receiver, written by another library."""
    file, track = gpxpy.gpx.GPX(), gpxpy.gpx.GPXTrack(name="Round the land")
    file.tracks.append(track)
    for segment in segments:
        points = [gpxpy.gpx.GPXTrackPoint(y, x, elevation=512.0) for x, y in degrees(segment).coords]
        track.segments.append(gpxpy.gpx.GPXTrackSegment(points))
    for name, kind, (x, y) in waypoints:
        longitude, latitude = TO_DEGREES.transform(x, y)
        file.waypoints.append(gpxpy.gpx.GPXWaypoint(latitude, longitude, name=name, type=kind))
    return file.to_xml()


def test_a_track_of_a_receiver_is_closed(saved):
    """Its pieces, between which the receiver was lost, are one walk; waypoints are left out and told."""
    whole = walked(5.0)
    pieces = [shapely.ops.substring(whole, *ends) for ends in ((0.0, 300.0), (310.0, whole.length))]
    text = gpx(*pieces, waypoints=[("Gate", None, (500_000, 4_100_000))])
    area, notes = read_polygon(saved(text, "walk.gpx"), UTM30)
    assert area.symmetric_difference(FIELD).area < 200.0
    assert "was closed over the 5.0 m between its ends" in notes[0]
    assert notes[1] == "boundary: 1 features that are no closed lines were left out"


def test_a_walk_past_its_start_is_still_one_area(saved):
    """The line crosses itself where it begins."""
    outline = FIELD.exterior
    past = shapely.ops.substring(outline, 0.0, 12.0)
    crossing = shapely.LineString(
        [*outline.coords[:-1], (499_998, 4_099_998), *shapely.affinity.translate(past, 0, 2).coords]
    )
    area, _ = read_polygon(saved(gpx(crossing), "walk.gpx"), UTM30)
    assert area.is_valid
    assert area.area == pytest.approx(FIELD.area, rel=0.01)


def test_an_open_track_and_points_alone_are_no_boundary(saved):
    """What is there is named."""
    with pytest.raises(GeometryError, match="holds LineString, Point but no polygon; the ends"):
        read_polygon(saved(gpx(walked(200.0), waypoints=[("Gate", None, (500_000, 4_100_000))]), "w.gpx"), UTM30)
    corners = [mark(point(x, y), f"Corner {place}") for place, (x, y) in enumerate(FIELD.exterior.coords)]
    with pytest.raises(GeometryError, match="holds Point but no polygon; draw it as a closed polygon"):
        read_polygon(saved(kml(*corners), "corners.kml"), UTM30)


def keep_outs(path):
    """Keep-outs of a site whose brief names a file."""
    values = {"terrain.file": "t.tif", "storm.depth_mm": 50, "soil.curve_number": 80, "levels.interval_m": 2}
    return site_from_values(values | {"area.keep_outs": str(path)})


def test_pins_of_a_phone_are_keep_outs_by_their_names(saved):
    """A kind of the extended data goes before the name, the name before the folder; it is told."""
    said = {"kind": "tree", "setback_m": "4"}
    data = "".join(f"<Data name='{key}'><value>{value}</value></Data>" for key, value in said.items())
    data = f"<ExtendedData>{data}</ExtendedData>"
    house = shapely.box(500_060, 4_100_050, 500_080, 4_100_062).exterior
    site = keep_outs(
        saved(
            kml(
                mark(point(500_010, 4_100_020), "Old Well"),
                mark(point(500_090, 4_100_090), "the oak by the house", data),
                mark(line(house), "House"),
                mark(line(house), "Ring road"),
                "<Folder><name>Roads</name>" + mark(line(walked(0.0)), "Upper one") + "</Folder>",
            ),
            "pins.kml",
        )
    )
    assert [(each.kind, each.geometry.geom_type) for each in site.keep_outs[:3]] == [
        ("well", "Point"), ("tree", "Point"), ("building", "Polygon"),
    ]  # fmt: skip
    assert site.keep_outs[1].setback_m == 4.0
    assert (site.keep_outs[-1].kind, site.keep_outs[-1].geometry.geom_type) == ("road", "LineString")
    assert "by their names Old Well is a well, House is a building" in site.notes[0]


def test_a_pin_without_a_kind_is_named(saved):
    """It is never taken for one of them: 'Well house' may be either."""
    with pytest.raises(
        GeometryError, match=r"feature 1 'Well house' has kind None; give each feature .* a pin its kind as name"
    ):
        keep_outs(saved(kml(mark(point(500_010, 4_100_020), "Well house")), "pins.kml"))


def test_waypoints_are_keep_outs_by_their_type(saved):
    """As receivers write them."""
    site = keep_outs(saved(gpx(waypoints=[("001", "Well", (500_010, 4_100_020))]), "pins.gpx"))
    assert [(each.kind, each.name) for each in site.keep_outs] == [("well", "001")]


@pytest.mark.parametrize("crs", ["EPSG:32630", "EPSG:25830", "EPSG:4326", "EPSG:2062"])
def test_a_shapefile_of_any_crs_is_read(tmp_path, crs):
    """With its .prj; written by another library."""
    frame = geopandas.GeoDataFrame({"parcel": ["12"]}, geometry=[FIELD], crs=UTM30).to_crs(crs)
    frame.to_file(tmp_path / "parcel.shp", driver="ESRI Shapefile")
    area, _ = read_polygon(tmp_path / "parcel.shp", UTM30)
    assert area.symmetric_difference(FIELD).area < 5.0


@pytest.mark.parametrize(
    ("driver", "name"),
    [("KML", "a.kml"), ("LIBKML", "b.kml"), ("LIBKML", "c.kmz"), ("GPX", "d.gpx"), ("GPKG", "e.gpkg")],
)
def test_what_another_library_writes_is_read(tmp_path, driver, name):
    """The same land as a polygon, or where the format has none as a walked line."""
    shape, layer = (walked(3.0), {"layer": "tracks"}) if driver == "GPX" else (FIELD, {})
    shape = shapely.MultiLineString([shape]) if driver == "GPX" else shape
    frame = geopandas.GeoDataFrame({"name": ["Land"]}, geometry=[shape], crs=UTM30).to_crs("EPSG:4326")
    frame.to_file(tmp_path / name, driver=driver, **layer)
    area, _ = read_polygon(tmp_path / name, UTM30)
    assert area.symmetric_difference(FIELD).area < (60.0 if driver == "GPX" else 0.1)


@pytest.mark.parametrize(("driver", "name"), [("KML", "a.kml"), ("LIBKML", "b.kml"), ("ESRI Shapefile", "c.shp")])
def test_keep_outs_of_another_library_keep_their_kind(tmp_path, driver, name):
    """As extended data of one schema or another, or in the table of a Shapefile."""
    rows = {"name": ["Pozo"], "kind": ["well"], "setback_m": [25.0]}
    frame = geopandas.GeoDataFrame(rows, geometry=[shapely.Point(500_010, 4_100_020)], crs=UTM30).to_crs("EPSG:4326")
    frame.to_file(tmp_path / name, driver=driver)
    (kept,) = keep_outs(tmp_path / name).keep_outs
    assert (kept.kind, kept.setback_m) == ("well", 25.0)


@pytest.mark.parametrize(
    ("lost", "words"), [(".prj", "no coordinate reference system"), (".shx", "without one of its parts")]
)
def test_a_shapefile_that_lacks_a_part_is_named(tmp_path, capfd, lost, words):
    """Mailed alone, as it often is."""
    geopandas.GeoDataFrame({"parcel": ["12"]}, geometry=[FIELD], crs=UTM30).to_file(tmp_path / "parcel.shp")
    (tmp_path / f"parcel{lost}").unlink()
    with pytest.raises(GeometryError, match=words):
        read_polygon(tmp_path / "parcel.shp", UTM30)
    assert capfd.readouterr().err == ""


@pytest.mark.parametrize(
    ("content", "found"),
    [
        ("<kml/>", "holds no features"),
        ('<gpx version="1.1"/>', "holds no features"),
        ('<gpx version="1.1"><trk><trkseg><trkpt lat="x" lon="1"/></trkseg></trk></gpx>', "is damaged or not GPX"),
        (kml(mark("<Point><coordinates>1;2</coordinates></Point>", "A")), "placemark 'A' has the coordinates '1;2'"),
        (kml(mark("<Point><coordinates>1</coordinates></Point>")), "a placemark without a name has the coordinates"),
        (kml(mark("<LinearRing><coordinates>1,2 3,4</coordinates></LinearRing>")), "has a ring of 2 points"),
        (kml(mark("<Point><coordinates>500000,4100000</coordinates></Point>")), "are not longitudes and latitudes"),
        ('<!DOCTYPE k [<!ENTITY a SYSTEM "file:///etc/hostname">]><kml>&a;</kml>', "declares a document type"),
        ('<!DOCTYPE k [<!ENTITY a "1"><!ENTITY b "&a;&a;">]><gpx>&b;</gpx>', "declares a document type"),
        ('<!DOCTYPE k [<!ENTITY a "1">]><kml>&a;</kml>'.encode("utf-16"), "declares a document type"),
        (b"PK\x03\x04 cut off", "is a damaged or locked archive"),
    ],
)  # fmt: skip
def test_what_can_not_be_read_is_one_line(saved, content, found):
    """Empty, broken and hostile files."""
    with pytest.raises(GeometryError, match=found) as caught:
        read_features(saved(content, "odd.kml"), UTM30, what="boundary")
    assert "\n" not in str(caught.value)


def test_an_archive_without_a_globe_file_is_named(saved):
    """A zipped shapefile is to be unpacked."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        archive.writestr("parcel.shp", b"")
    with pytest.raises(GeometryError, match="unpack it and name the file itself"):
        read_polygon(saved(packed.getvalue(), "parcel.zip"), UTM30)
