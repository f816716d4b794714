"""Polygon files in."""

import json
from warnings import catch_warnings, simplefilter

import numpy as np
import pyogrio
import pytest
import shapely
from pyproj import CRS, Transformer

from swalekit.errors import GeometryError
from swalekit.formats.inputs.polygons import read_features, read_polygon

UTM12 = CRS("EPSG:32612")
SITE = shapely.box(360_000.0, 3_696_000.0, 360_200.0, 3_696_100.0)
TO_DEGREES = Transformer.from_crs(UTM12, "EPSG:4326", always_xy=True)


def degrees(geometry):
    """A geometry of UTM zone 12 in longitude and latitude."""
    return shapely.transform(geometry, TO_DEGREES.transform, interleaved=False)


@pytest.fixture
def geojson(tmp_path):
    """Write geometries, given in UTM zone 12, as GeoJSON in WGS 84 and give the path."""

    def write(*geometries, **properties):
        features = [
            {"type": "Feature", "properties": properties, "geometry": None if geometry is None else degrees(geometry)}
            for geometry in geometries
        ]
        path = tmp_path / "site.geojson"
        collection = {"type": "FeatureCollection", "features": features}
        path.write_text(json.dumps(collection, default=shapely.geometry.mapping))
        return path

    return write


@pytest.fixture
def geopackage(tmp_path):
    """Write layers of polygons to a GeoPackage and give the path."""

    def write(crs="EPSG:32612", **layers):
        path = tmp_path / "site.gpkg"
        for layer, geometry in layers.items():
            with catch_warnings():
                simplefilter("ignore", UserWarning)
                pyogrio.raw.write(
                    path,
                    geometry=np.array([shapely.to_wkb(geometry)]),
                    field_data=[np.array(["clay"])],
                    fields=["texture"],
                    layer=layer,
                    crs=crs,
                    geometry_type=geometry.geom_type,
                    append=path.exists(),
                )
        return path

    return write


def test_geojson_is_brought_to_the_plan(geojson):
    """A boundary in WGS 84 comes back in metres, to the micrometre."""
    area, notes = read_polygon(geojson(SITE), UTM12)
    assert area.symmetric_difference(SITE).area < 1e-3
    assert notes == ()


@pytest.mark.parametrize("crs", ["EPSG:32612", "EPSG:2868", "EPSG:4326", "EPSG:3857"])
def test_geopackage_of_any_crs_is_brought_to_the_plan(geopackage, crs):
    """Metres, feet and degrees come to the same place."""
    there = Transformer.from_crs(UTM12, crs, always_xy=True)
    path = geopackage(crs, parcels=shapely.transform(SITE, there.transform, interleaved=False))
    area, _ = read_polygon(path, CRS(Transformer.from_crs(crs, UTM12).target_crs))
    assert area.symmetric_difference(SITE).area < 0.2


def test_several_polygons_become_one_area(geojson):
    """Overlapping polygons count once; separate ones and holes are kept."""
    ring = SITE.difference(SITE.buffer(-40))
    far = shapely.affinity.translate(SITE, 500, 0)
    area, _ = read_polygon(geojson(ring, far, shapely.affinity.translate(far, 100, 0)), UTM12)
    assert area.geom_type == "MultiPolygon"
    assert area.area == pytest.approx(ring.area + 1.5 * SITE.area, rel=1e-6)


def test_crossing_boundary_is_repaired_and_told(geojson):
    """A bow tie becomes its two triangles, with a note where it crossed."""
    bow = shapely.Polygon([(360_000, 3_696_000), (360_100, 3_696_100), (360_100, 3_696_000), (360_000, 3_696_100)])
    area, notes = read_polygon(geojson(bow), UTM12)
    assert area.is_valid
    assert area.area == pytest.approx(5_000, abs=0.1)
    assert len(notes) == 1
    assert "feature 1 was not a proper polygon (Self-intersection" in notes[0]


def test_boundary_without_area_fails(geojson):
    """A polygon folded to a line encloses nothing and can't be repaired."""
    flat = shapely.Polygon([(360_000, 3_696_000), (360_100, 3_696_000), (360_000, 3_696_000)])
    with pytest.raises(GeometryError, match=r"site\.geojson', feature 1 encloses no area"):
        read_polygon(geojson(flat), UTM12)


def test_other_features_are_left_out_and_told(geojson):
    """Points and features without geometry beside a polygon don't disturb."""
    area, notes = read_polygon(geojson(SITE.centroid, None, SITE), UTM12)
    assert area.geom_type == "Polygon"
    assert [note.split(": ")[-1] for note in notes] == [
        "1 of 3 features have no geometry and were left out",
        "1 features that are no polygons were left out",
    ]


def test_features_come_with_their_properties(geojson):
    """Each geometry comes with what its feature says; missing values are None, heights are dropped."""
    well = shapely.Point(360_010.0, 3_696_010.0, 301.5)
    features, _ = read_features(
        geojson(well, kind="well", setback_m=30, name=None, years=[1, 2]), UTM12, what="keep-outs"
    )
    ((geometry, properties),) = features
    assert properties == {"kind": "well", "setback_m": 30, "name": None, "years": [1, 2]}
    assert not geometry.has_z
    assert geometry.distance(shapely.Point(360_010.0, 3_696_010.0)) < 1e-6


def test_layer_is_chosen_by_name(geopackage):
    """Of several layers the one named like what is looked for is read."""
    path = geopackage(buildings=SITE.buffer(-40), boundary=SITE)
    assert read_polygon(path, UTM12)[0].area == pytest.approx(SITE.area)
    with pytest.raises(GeometryError, match=r"has layers \['buildings', 'boundary'\]; name one of them 'soils'"):
        read_features(path, UTM12, what="soils")


def test_geopackage_without_crs_fails(geopackage):
    """A GeoPackage that doesn't say where it lies is refused."""
    with pytest.raises(GeometryError, match="no coordinate reference system"):
        read_polygon(geopackage(None, boundary=SITE), UTM12)


def test_points_where_a_polygon_is_needed_fail(geojson):
    """Points and lines that don't come back to their start are no boundary."""
    three_sides = shapely.LineString(SITE.exterior.coords[:-1])
    with pytest.raises(
        GeometryError, match=r"holds LineString, Point but no polygon; the ends .* 400 m are 200 m apart"
    ):
        read_polygon(geojson(SITE.centroid, three_sides), UTM12)
    with pytest.raises(GeometryError, match="holds Point but no polygon; draw it as a closed polygon"):
        read_polygon(geojson(*map(shapely.Point, SITE.exterior.coords)), UTM12)


@pytest.mark.parametrize("x_y", [(360_000.0, 3_696_000.0), (33.4, -112.5)])
def test_coordinates_out_of_range_fail(tmp_path, x_y):
    """Metres, or latitude before longitude, in a file that must hold longitudes and latitudes."""
    path = tmp_path / "site.geojson"
    path.write_text(json.dumps(shapely.geometry.mapping(shapely.Point(x_y).buffer(0.1))))
    with pytest.raises(GeometryError, match="which are not longitudes and latitudes"):
        read_polygon(path, UTM12)


def test_geometry_with_no_place_in_the_plan_fails(geopackage):
    """Coordinates that lie nowhere on the earth are refused with their value."""
    path = geopackage(boundary=shapely.box(1e12, 1e12, 2e12, 2e12))
    with pytest.raises(GeometryError, match=r"lies at \(1e\+12, 1e\+12\), which has no place in WGS 84"):
        read_polygon(path, CRS("EPSG:4326"))


RING = '{"type": "Polygon", "coordinates": [[[0, 0], [1, 1], [1, 0], [0, 0]]'


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (None, "does not exist"),
        ("", "is empty"),
        ("hello", "is not a GeoJSON, GeoPackage, Shapefile, KML, KMZ or GPX file"),
        ("<html><body>no map</body></html>", "is not a GeoJSON, GeoPackage"),
        ("<kml><Document>", "is damaged XML"),
        ("<OGRVRTDataSource></OGRVRTDataSource>", "is not a GeoJSON, GeoPackage, Shapefile, KML, KMZ or GPX file"),
        ('{"a": 1}', "is damaged or not GeoJSON"),
        (RING, "is damaged or not GeoJSON"),
        ('{"type": "Polygon", "coordinates": [[[0, 0], [1, "x"]]]}', "is damaged or not GeoJSON"),
        ('{"type": "Polygon", "coordinates": [[[0, 0], [1, 1], [1, 0]]]}', "is damaged or not GeoJSON"),
        ('{"type": "FeatureCollection", "features": []}', "holds no features"),
        ('{"geometryType": "esriGeometryPoint", "features": [{"geometry": {"x": 1, "y": 2}}]}', "is ESRIJSON"),
    ],
)
def test_what_is_no_polygon_file_fails_in_one_line(tmp_path, capfd, content, found):
    """Missing, empty, foreign and broken files end in one line that names the file; nothing leaks to stderr."""
    path = tmp_path / "bad.geojson"
    if content is not None:
        path.write_text(content)
    with pytest.raises(GeometryError, match=rf"boundary '.*bad\.geojson' {found}") as caught:
        read_polygon(path, UTM12)
    assert "\n" not in str(caught.value)
    assert capfd.readouterr().err == ""


def test_other_databases_are_refused(geopackage):
    """An SQLite file that isn't marked as a GeoPackage may reach out to other files and isn't opened."""
    path = geopackage(boundary=SITE)
    content = bytearray(path.read_bytes())
    content[68:72] = bytes(4)
    path.write_bytes(content)
    with pytest.raises(GeometryError, match="is not a GeoJSON, GeoPackage, Shapefile, KML, KMZ or GPX file"):
        read_polygon(path, UTM12)
