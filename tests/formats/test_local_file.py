"""Paths that may be opened."""

import pytest
from pyproj import CRS

from swalekit.errors import GeometryError, TerrainError
from swalekit.formats.inputs.polygons import read_polygon
from swalekit.formats.terrain.raster import read_terrain


@pytest.mark.parametrize(
    "name",
    [
        "http://x.org/a.tif",
        "s3://b/a.tif",
        "/vsicurl/http://x.org/a.tif",
        "/vsizip/a.zip/a.tif",
        "zip:a.zip!a.tif",
        "GTIFF_DIR:1:a.tif",
        "file:///data/a.tif",
        r"\\server\share\a.tif",
        "NETCDF:a.nc:z",
    ],
)
def test_paths_that_lead_elsewhere_are_refused(name):
    """Network, archive, virtual and subdataset paths are refused before anything is opened."""
    with pytest.raises(TerrainError, match="can pull in other files"):
        read_terrain(name)
    with pytest.raises(GeometryError, match="can pull in other files"):
        read_polygon(name, CRS("EPSG:32612"))


def test_folder_fails(tmp_path):
    """A folder is no polygon file, and no terrain without tiles in it."""
    with pytest.raises(GeometryError, match="not a regular file"):
        read_polygon(tmp_path, CRS("EPSG:32612"))
    with pytest.raises(TerrainError, match="holds 0 tiles"):
        read_terrain(tmp_path)


def test_link_to_a_file_and_dotted_paths_are_followed(tmp_path):
    """A link and a path with dots lead to the file they mean; the error comes from its content, not its path."""
    (tmp_path / "tile.tif").write_text("no tile")
    (tmp_path / "link.tif").symlink_to(tmp_path / "tile.tif")
    for path in (tmp_path / "link.tif", tmp_path / ".." / tmp_path.name / "tile.tif"):
        with pytest.raises(TerrainError, match="is not a GeoTIFF"):
            read_terrain(path)


@pytest.mark.parametrize(
    ("content", "found"),
    [
        (None, "does not exist"),
        (b"", "is empty"),
        (b"hello\n" * 50, "is not a GeoTIFF"),
        (b"II*\0" + b"\xff" * 90, "GeoTIFF"),
    ],
)
def test_what_is_no_raster_fails_in_one_line(tmp_path, capfd, content, found):
    """Missing, empty, renamed and broken files end in one line that names the file; nothing leaks to stderr."""
    path = tmp_path / "bad.tif"
    if content is not None:
        path.write_bytes(content)
    with pytest.raises(TerrainError, match=rf"bad\.tif.*{found}") as caught:
        read_terrain(path)
    assert "\n" not in str(caught.value)
    assert capfd.readouterr().err == ""
