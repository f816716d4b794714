"""Point clouds that are cut, lie about themselves, or are none: one line each, and memory isn't filled."""

import struct
import sys
import tracemalloc

import laspy
import lazrs
import numpy as np
import pytest
from bad_input import OPTIONS, assert_refused
from made_clouds import SOUTH, WEST, surveyed, write_cloud

from swalekit.errors import TerrainError
from swalekit.formats.terrain.laz_chunks import chunks_fit
from swalekit.formats.terrain.raster import read_terrain


@pytest.mark.parametrize("name", ["a.las", "a.laz"])
@pytest.mark.parametrize("share", [0.0, 0.0001, 0.001, 0.01, 0.5, 0.99, 1.0])
@pytest.mark.parametrize("point_format", [1, 7])
def test_cut_files_are_refused_in_one_line(tmp_path, capfd, name, share, point_format):
    """Cut after one byte, in its head, among its points or before its last byte, a file is refused."""
    path = write_cloud(tmp_path / name, *surveyed(30_000), version="1.4", point_format=point_format)
    content = path.read_bytes()
    path.write_bytes(content[: min(max(1, round(share * len(content))), len(content) - 1)])
    with pytest.raises(TerrainError, match=f"{name}' is (damaged or cut short|not a LAS)") as fault:
        read_terrain(path)
    assert "\n" not in str(fault.value)
    assert capfd.readouterr().err == ""


@pytest.mark.parametrize("seed", range(30))
def test_damaged_files_fail_cleanly(tmp_path, capfd, seed):
    """With bytes flipped a file is read or refused; nothing else comes out of it, and memory isn't filled."""
    path, rng = tmp_path / "a.laz", np.random.default_rng(seed)
    write_cloud(path, *surveyed(3_000), version="1.4", point_format=(1, 6)[seed % 2])
    content = bytearray(path.read_bytes())
    for place in rng.integers(4, (230, 3_000, len(content))[seed % 3], 4):
        content[place] = rng.integers(256)
    path.write_bytes(content)
    try:
        words = read_terrain(path, memory_bytes=10**9).grid.crs.name
    except TerrainError as fault:
        words = str(fault)
    assert "a.laz" in words or "zone" in words
    assert "\n" not in words
    assert capfd.readouterr().err == ""


def patched(path, at, layout, *values):
    """Write values into a file."""
    content = bytearray(path.read_bytes())
    struct.pack_into(layout, content, at, *values)
    path.write_bytes(content)
    return path


@pytest.mark.parametrize("name", ["a.las", "a.laz"])
@pytest.mark.parametrize(
    ("at", "layout", "values"),
    [
        (247, "<Q", (8_000_000_000,)),  # points
        (100, "<I", (4_000_000_000,)),  # records
        (96, "<I", (4_000_000_000,)),  # where the points begin
        (105, "<H", (65_535,)),  # bytes of a point
    ],
)
def test_heads_that_lie_are_refused(tmp_path, name, at, layout, values):
    """Billions of points or of records that aren't there are seen before any is read."""
    path = write_cloud(tmp_path / name, *surveyed(5_000))
    tracemalloc.start()
    with pytest.raises(TerrainError, match="damaged or cut short"):
        read_terrain(patched(path, at, layout, *values))
    assert tracemalloc.get_traced_memory()[1] < 2**23
    tracemalloc.stop()


@pytest.mark.parametrize(
    ("at", "value", "found"),
    [
        (131, float("nan"), "scale or offset of its coordinates that is 0 or no number"),
        (139, 0.0, "scale or offset of its coordinates that is 0 or no number"),
        (155, float("inf"), "scale or offset of its coordinates that is 0 or no number"),
        (131, 1e300, "which is nowhere on the earth"),
        (155, 1e9, "which is nowhere on the earth"),
        (163, 1e8, "nowhere on the earth"),
        (147, 1e6, "holds no usable point: all 5,000 are noise, withheld or at no possible height"),
    ],
)
def test_wrong_scales_are_refused(tmp_path, at, value, found):
    """Coordinates that are no numbers, or lie nowhere are each refused with what is wrong."""
    path = patched(write_cloud(tmp_path / "a.laz", *surveyed(5_000)), at, "<d", value)
    with pytest.raises(TerrainError, match=found):
        read_terrain(path, memory_bytes=10**6)


def test_survey_spread_over_a_country_is_refused(tmp_path):
    """A stray point makes a grid beyond memory, which is refused with the cell that would fit."""
    x, y, z, kind = surveyed(5_000)
    x[0], y[0] = x[0] + 300_000, y[0] + 300_000
    path = write_cloud(tmp_path / "a.laz", x, y, z, kind)
    with pytest.raises(TerrainError, match=r"has 40,\d{3},\d{3},\d{3} cells: .* coarsen it: cell_m = \d+"):
        read_terrain(path, cell_m=1.5)


def fits(path):
    """Whether the chunks of a LAZ file fit together."""
    with laspy.open(path) as reader, path.open("rb") as opened:
        return chunks_fit(opened, reader.header)


@pytest.mark.parametrize("point_format", [1, 3, 6, 7, 8])
def test_chunks_must_fit(tmp_path, monkeypatch, point_format):
    """Tables and lengths that a small file can't hold are seen before room is made for them."""
    path = write_cloud(tmp_path / "a.laz", *surveyed(5_000), point_format=point_format)
    assert fits(path)
    with laspy.open(path) as reader:
        points_at, point_bytes = reader.header.offset_to_point_data, reader.header.point_format.size
    content = path.read_bytes()
    (table_at,) = struct.unpack_from("<q", content, points_at)
    if point_format > 5:  # points are stored by layers
        assert not fits(patched(path, points_at + 8 + point_bytes + 4, "<I", 4_000_000_000))
        path.write_bytes(content)
    monkeypatch.setattr(lazrs, "read_chunk_table", pytest.fail)
    assert not fits(patched(path, table_at + 4, "<I", 4_000_000_000))
    path.write_bytes(content)
    for place in (-2, points_at, len(content)):
        assert not fits(patched(path, points_at, "<q", place))


def test_empty_and_useless_clouds_are_refused(tmp_path):
    """No point, noise alone, points on one line or one spot, and another file by the name of a cloud."""
    x, y, z, _ = surveyed(5_000)
    none = tmp_path / "none.laz"
    with laspy.open(none, "w", header=laspy.LasHeader(version="1.4", point_format=6)):
        pass
    share = np.linspace(0, 1, 500)
    line = write_cloud(tmp_path / "line.las", WEST + 90 * share, SOUTH + 70 * share, 300 + share)
    spot = write_cloud(tmp_path / "spot.las", np.full(9, WEST), np.full(9, SOUTH), np.full(9, 300.0))
    text = tmp_path / "text.laz"
    text.write_text("x,y,z\n1,2,3\n")
    for path, found in (
        (none, r"holds no point \(its header counts 0\)"),
        (write_cloud(tmp_path / "noise.laz", x, y, z, 7), "holds no usable point: all 5,000 are noise"),
        (line, r"within a strip .* a terrain needs an area"),
        (spot, r"within a strip .* a terrain needs an area"),
        (text, "is not a LAS or LAZ file, whatever its name"),
        (tmp_path / "missing.laz", "does not exist"),
    ):
        with pytest.raises(TerrainError, match=found):
            read_terrain(path)
    with pytest.raises(TerrainError, match="give a smaller cell_m"):
        read_terrain(write_cloud(tmp_path / "a.laz", x, y, z), cell_m=200.0)


@pytest.mark.parametrize("missing", ["laspy", "lazrs"])
def test_missing_package_is_named(tmp_path, monkeypatch, missing):
    """Without the extra a cloud asks for it in one line."""
    path = write_cloud(tmp_path / "a.laz", *surveyed(500))
    monkeypatch.setitem(sys.modules, missing, None)
    with pytest.raises(TerrainError, match=r"pip install swalekit\[pointcloud\]$"):
        read_terrain(path)


@pytest.mark.parametrize("share", [0.01, 0.3, 0.999])
def test_plan_of_a_cut_cloud_writes_nothing(swalekit, tmp_path, share):
    """The command ends in one line and leaves no folder."""
    path = write_cloud(tmp_path / "a.laz", *surveyed(5_000))
    content = path.read_bytes()
    path.write_bytes(content[: round(share * len(content))])
    assert_refused(swalekit("plan", "a.laz", "--interval=2", *OPTIONS), "'a.laz' is damaged or cut short")
