"""The file of lines: written, edited as map programs edit it, and read back."""

import json
import sqlite3
from dataclasses import replace
from itertools import pairwise
from warnings import catch_warnings, simplefilter

import geopandas
import numpy as np
import pytest
import shapely
from pyproj import CRS

from swalekit.design.brief.decided_lines import LINE_STATES, DecidedLine, Lines, OwnSettings
from swalekit.errors import GeometryError
from swalekit.formats.exchange.lines_layer import LINE_COLUMNS, write_lines
from swalekit.formats.inputs.lines_file import read_lines

UTM = CRS.from_epsg(32630)
FORMATS = [("lines.gpkg", 0.0), ("lines.geojson", 1.2e-4)]
"""Name, and how far a vertex may be from where it was [m]."""


def wave(count, *, east_m=0.0, north_m=0.0, seed=1):
    """Vertices of a winding line, no coordinate a round number."""
    along_m = np.cumsum(np.random.default_rng(seed).uniform(1.0, 2.0, count))
    return np.column_stack([562_000 + east_m + along_m, 4_132_000 + north_m + 5 * np.sin(along_m / 20)])


def ring(count=60):
    """Vertices of a circle, each once."""
    turn = np.linspace(0.0, 2 * np.pi, count, endpoint=False)
    return np.column_stack([562_500 + 30 * np.cos(turn), 4_132_000 + 30 * np.sin(turn)])


@pytest.fixture
def lines():
    """A line in each state, one closed, with all settings among them."""
    own = OwnSettings(1.2, 1.0, 2.25, 0.85, 0.9, 0.2, 6.0, 31.4, planting=False, stage=2, note="above the oak")
    return Lines(
        (
            DecidedLine("S1", "proposed", wave(50), level_m=501.2345678901234),
            DecidedLine("S2", "held", wave(80, north_m=50), level_m=498.1, own=own),
            DecidedLine("S3", "dropped", ring(), True, 400.0),
            DecidedLine("S4", "drawn", wave(3, north_m=90), own=OwnSettings(planting=True)),
            DecidedLine("S9", "lapsed", wave(30, north_m=120), level_m=490.0),
        ),
        UTM,
    )


def edited(lines, path, change):
    """Write lines, let a map program's table of features be changed, save it, and read the file."""
    write_lines(lines, path)
    frame = change(geopandas.read_file(path).set_index("name", drop=False))
    frame.reset_index(drop=True).to_file(path, layer="lines" if path.suffix == ".gpkg" else None)
    return read_lines(path)


def states(lines):
    """State of every line by its name."""
    return {line.name: line.state for line in lines.lines}


@pytest.mark.parametrize(("name", "within_m"), FORMATS)
def test_what_is_written_comes_back(lines, tmp_path, name, within_m):
    """A GeoPackage gives vertices to the bit, a GeoJSON to a tenth of a millimetre."""
    write_lines(lines, tmp_path / name)
    back, notes = read_lines(tmp_path / name)
    assert notes == ()
    assert [line.name for line in back.lines] == ["S1", "S2", "S3", "S4", "S9"]
    for was, line in zip(lines.lines, back.in_crs(UTM).lines, strict=True):
        assert (line.state, line.closed, line.level_m, line.own) == (was.state, was.closed, was.level_m, was.own)
        assert np.hypot(*(line.xy - was.xy).T).max() <= within_m


@pytest.mark.parametrize(("name", "within_m"), FORMATS)
def test_same_lines_are_the_same_bytes(lines, tmp_path, name, within_m):
    """Nothing of the day goes into the file."""
    for folder in ("a", "b"):
        (tmp_path / folder).mkdir()
        write_lines(lines, tmp_path / folder / name)
    assert (tmp_path / "a" / name).read_bytes() == (tmp_path / "b" / name).read_bytes()


def test_columns_are_those_declared_and_of_their_kind_when_all_are_empty(tmp_path):
    """A map program offers a number where a number goes."""
    write_lines(Lines((DecidedLine("S1", "proposed", wave(9), level_m=4.0),), UTM), tmp_path / "lines.gpkg")
    with sqlite3.connect(tmp_path / "lines.gpkg") as database:
        kinds = {row[1]: row[2] for row in database.execute("PRAGMA table_info(lines)")}
        row = database.execute("SELECT name, depth_m, planting, stage, note FROM lines").fetchone()
    assert list(kinds)[2:] == [column.name for column in LINE_COLUMNS]
    assert [kinds[name] for name in ("depth_m", "planting", "stage", "note", "as_laid")] == [
        "REAL",
        "BOOLEAN",
        "INTEGER",
        "TEXT",
        "TEXT",
    ]
    assert row == ("S1", None, None, None, None)


@pytest.mark.parametrize(
    ("name", "crs", "options"),
    [
        ("other.gpkg", 3857, {}),
        ("other.shp", 25830, {}),
        ("other.geojson", 4326, {"RFC7946": "YES", "COORDINATE_PRECISION": "7"}),
        ("other.kml", 4326, {"driver": "KML"}),
    ],
)
def test_lines_saved_by_another_program_in_another_crs_are_not_taken_for_edited(lines, tmp_path, name, crs, options):
    """Seven decimals of a degree, short names of columns and texts for numbers are no edits."""
    write_lines(lines, tmp_path / "lines.gpkg")
    frame = geopandas.read_file(tmp_path / "lines.gpkg").to_crs(crs)
    with catch_warnings():
        simplefilter("ignore", (UserWarning, RuntimeWarning))  # a shapefile shortens names
        frame.to_file(tmp_path / name, engine="pyogrio", **options)
    back, notes = read_lines(tmp_path / name)
    assert notes == ()
    assert states(back) == states(lines)
    assert [line.own for line in back.lines] == [line.own for line in lines.lines]
    for was, line in zip(lines.lines, back.in_crs(UTM).lines, strict=True):
        assert np.hypot(*(line.xy - was.xy).T).max() < 0.02


@pytest.mark.parametrize(
    "change",
    [
        lambda path: path[:-5],
        lambda path: path[3:],
        lambda path: np.vstack([path[:20], path[20] + [0.0, 0.3], path[21:]]),
        lambda path: path + np.array([0.0, 0.1]),
        lambda path: np.vstack([path, path[-1] + [5.0, 0.0]]),
        lambda path: np.vstack([path[:10], path[20:]]),
    ],
    ids=["cut at its end", "cut at its start", "a vertex moved", "moved", "longer", "straightened"],
)
@pytest.mark.parametrize("name", ["lines.gpkg", "lines.geojson"])
def test_a_proposed_line_of_another_shape_is_drawn(lines, tmp_path, name, change):
    """Whatever a map program's tools do to a shape is seen."""

    def edit(frame):
        shape = geopandas.GeoSeries(frame.geometry, crs=frame.crs).to_crs(UTM)["S1"]
        moved = shapely.LineString(change(shapely.get_coordinates(shape)))
        frame.loc["S1", "geometry"] = geopandas.GeoSeries([moved], crs=UTM).to_crs(frame.crs).iloc[0]
        return frame

    back, notes = edited(lines, tmp_path / name, edit)
    assert states(back) == states(lines) | {"S1": "drawn"}
    assert back.lines[0].level_m == lines.lines[0].level_m
    (note,) = notes
    assert note == f"lines '{tmp_path / name}': taken as drawn, since edited after they were laid: S1"


def test_a_line_walked_the_other_way_round_is_the_same(lines, tmp_path):
    """Its shape is what it was."""
    back, notes = edited(
        lines, tmp_path / "lines.gpkg", lambda frame: frame.set_geometry(shapely.reverse(frame.geometry))
    )
    assert (states(back), notes) == (states(lines), ())


def test_an_edited_line_that_is_held_or_dropped_stays_so(lines, tmp_path):
    """Its new shape is taken, and what counts from its start is told."""

    def cut(frame):
        for name in ("S2", "S3"):
            frame.loc[name, "geometry"] = shapely.LineString(shapely.get_coordinates(frame.geometry[name])[:-20])
        return frame

    back, notes = edited(lines, tmp_path / "lines.gpkg", cut)
    assert states(back) == states(lines)
    assert len(back.lines[1].xy) == 60
    assert back.lines[1].level_m == 498.1
    assert [note.partition(": ")[2] for note in notes] == [
        "edited after they were laid, and held or dropped all the same: S2, S3",
        "S2 was edited, and its sill_at_m of 31.4 m counts from where it begins now",
    ]


def test_states_are_read_in_any_case_and_lines_added_get_the_next_numbers(lines, tmp_path):
    """Numbers go on above all that were ever given."""

    def edit(frame):
        frame.loc["S1", "state"] = " HELD "
        new = geopandas.GeoDataFrame(geometry=[shapely.LineString(wave(4, north_m=y)) for y in (200, 300)], crs=UTM)
        new.loc[1, "name"] = "upper terrace"
        return geopandas.pd.concat([frame, new])

    back, notes = edited(lines, tmp_path / "lines.gpkg", edit)
    assert states(back) == states(lines) | {"S1": "held", "S10": "drawn", "upper terrace": "drawn"}
    (note,) = notes
    assert note.endswith(": taken as drawn, since without a state: S10, upper terrace")


def pieces(frame, name, *cuts):
    """A table in which a line is cut at vertices; all pieces have its row."""
    path = shapely.get_coordinates(frame.geometry[name])
    ends = [0, *cuts, len(path) - 1]
    shapes = [shapely.LineString(path[a : b + 1]) for a, b in pairwise(ends)]
    rows = frame.loc[[name] * len(shapes)].set_geometry(shapes)
    return geopandas.pd.concat([frame.drop(name), rows])


@pytest.mark.parametrize(("cuts", "kept", "rest"), [((10,), 40, [11]), ((5, 20), 30, [6, 16])])
def test_of_a_line_that_was_split_the_longest_piece_keeps_the_name(lines, tmp_path, cuts, kept, rest):
    """The pieces are drawn, the others under new numbers."""
    back, notes = edited(lines, tmp_path / "lines.gpkg", lambda frame: pieces(frame, "S1", *cuts))
    named = {line.name: line for line in back.lines}
    new = [f"S{10 + i}" for i in range(len(rest))]
    assert (len(named["S1"].xy), [len(named[name].xy) for name in new]) == (kept, rest)
    assert {named[name].state for name in ("S1", *new)} == {"drawn"}
    assert notes[0].endswith(f": S1 was split; the longest piece keeps the name, the rest is {', '.join(new)}")


def test_pieces_of_a_held_line_are_held(lines, tmp_path):
    """Its level is theirs."""
    back, _ = edited(lines, tmp_path / "lines.gpkg", lambda frame: pieces(frame, "S2", 30))
    assert {name: state for name, state in states(back).items() if state == "held"} == {"S2": "held", "S10": "held"}
    assert {line.level_m for line in back.in_state("held")} == {498.1}


def test_a_copy_of_a_line_under_its_name_is_refused(lines, tmp_path):
    """Which of the two is the line can't be told."""
    with pytest.raises(GeometryError, match=r"features 1 and 6 are both called S1; empty the name"):
        edited(lines, tmp_path / "lines.gpkg", lambda frame: geopandas.pd.concat([frame, frame.loc[["S1"]]]))


def test_lines_joined_are_one_that_is_drawn(lines, tmp_path):
    """The other name is gone with its feature."""

    def join(frame):
        both = [shapely.get_coordinates(frame.geometry[name]) for name in ("S1", "S4")]
        frame.loc["S1", "geometry"] = shapely.LineString(np.vstack(both))
        return frame.drop("S4")

    back, _ = edited(lines, tmp_path / "lines.gpkg", join)
    assert states(back) == {"S1": "drawn", "S2": "held", "S3": "dropped", "S9": "lapsed"}


def test_strokes_of_a_phone_are_drawn_and_a_usual_name_twice_is_no_matter(tmp_path):
    """A phone calls all of them alike; a line below a house is no house."""
    marks = "".join(
        f"<Placemark><name>{name}</name><LineString><coordinates>-2.3,{37.3 + i / 1000},0 -2.299,{37.3 + i / 1000},0"
        "</coordinates></LineString></Placemark>"
        for i, name in enumerate(("Path", "Path", "line below the house", ""))
    )
    place = "<Placemark><name>gate</name><Point><coordinates>-2.3,37.3</coordinates></Point></Placemark>"
    (tmp_path / "phone.kml").write_text(f"<kml><Document><Folder>{marks}{place}</Folder></Document></kml>")
    back, notes = read_lines(tmp_path / "phone.kml")
    assert states(back) == dict.fromkeys(["Path", "S1", "line below the house", "S2"], "drawn")
    assert [note.partition(": ")[2] for note in notes] == [
        "1 of 5 features are points and were left out",
        "several lines are called 'Path'; the first keeps the name, the rest is S1",
        "taken as drawn, since without a state: Path, S1, line below the house, S2",
    ]


def test_heights_are_left_out_and_a_part_alone_is_a_line(lines, tmp_path):
    """Many programs save every line as one of several parts, with heights."""

    def lift(frame):
        shapes = [shapely.MultiLineString([shape]) for shape in shapely.force_3d(frame.geometry.array, 7.0)]
        return frame.set_geometry(shapes)

    back, notes = edited(lines, tmp_path / "lines.gpkg", lift)
    assert notes == ()
    assert np.array_equal(back.lines[1].xy, lines.lines[1].xy)


def feature(geometry, **properties):
    """A feature of GeoJSON."""
    return {"type": "Feature", "properties": properties, "geometry": geometry}


def stroke(*coordinates):
    """A line of GeoJSON."""
    return {"type": "LineString", "coordinates": coordinates or [[-2.3, 37.3], [-2.299, 37.3]]}


@pytest.mark.parametrize(
    ("features", "words"),
    [
        ([], "holds no lines; draw at least one line, or take [lines] file out of the brief"),
        ([feature(None, name="S1", state="held")], "holds no lines"),
        ([feature({"type": "Point", "coordinates": [-2.3, 37.3]})], "holds points and no lines"),
        (
            [
                feature(stroke()),
                feature({"type": "Polygon", "coordinates": [[[-2, 37], [-2.1, 37], [-2, 37.1], [-2, 37]]]}),
            ],
            "feature 2: it is a Polygon; draw it as a line",
        ),
        (
            [
                feature(
                    {"type": "MultiLineString", "coordinates": [stroke()["coordinates"], [[1, 1], [2, 2]]]}, name="S4"
                )
            ],
            "feature 1 (S4): it has 2 parts; make it a feature a part, or join them",
        ),
        (
            [feature(stroke(), name="S4", state="hold")],
            "(S4): state is 'hold'; it must be one of proposed, held, drawn, dropped, lapsed; did you mean 'held'?",
        ),
        ([feature(stroke([-2.3, 37.3], [-2.3, 37.3]))], "feature 1: it has no length"),
        ([feature(stroke([-2.3, 37.3], [562000, 4132000]))], "which are not longitudes and latitudes"),
        ([feature(stroke(), name="S4", depth_m="deep")], "feature 1 (S4): depth_m is 'deep'; give a number"),
        ([feature(stroke(), name="S4", bottom_width_m=-1)], "feature 1 (S4): bottom_width_m"),
        ([feature(stroke(), name="S4", uphill_side_slope=0)], "feature 1 (S4): uphill_side_slope is 0"),
        ([feature(stroke(), name="S4", downhill_side_slope=45)], "feature 1 (S4): downhill_side_slope is 45"),
        ([feature(stroke(), stage=1.5)], "stage is 1.5; give a whole number, from 1"),
        ([feature(stroke(), stage=0)], "stage is 0; stages are counted from 1"),
        ([feature(stroke(), planting="maybe")], "planting is 'maybe'; give true or false"),
        ([feature(stroke(), name="S" * 41)], "name has 41 characters; 40 are the most"),
        ([feature(stroke(), note="n" * 1001)], "note has 1001 characters"),
        (
            [feature(stroke(), name="S4", state="held"), feature(stroke(), name="s4", state="drawn")],
            "features 1 and 2 are both called S4",
        ),
        (
            [feature(stroke(*([-2.3 + i * 1e-6, 37.3] for i in range(100_001))))],
            "it has 100,001 vertices; simplify it to 100,000 or fewer",
        ),
    ],
)
def test_what_cannot_be_a_line_is_refused_in_one_line_that_names_it(tmp_path, features, words):
    """Which feature, what, and the way out."""
    path = tmp_path / "lines.geojson"
    path.write_text(json.dumps({"type": "FeatureCollection", "features": features}))
    with pytest.raises(GeometryError) as refused:
        read_lines(path)
    assert words in str(refused.value)
    assert str(refused.value).startswith(f"lines '{path}'")
    assert "\n" not in str(refused.value)


def test_a_vertex_that_is_no_number_is_refused(tmp_path):
    """Some programs leave such behind a failed intersection."""
    with np.errstate(invalid="ignore"):
        shape = shapely.LineString([(562_000.0, 4_132_000.0), (np.nan, 4_132_000.0), (562_020.0, 4_132_000.0)])
    geopandas.GeoDataFrame(geometry=[shape], crs=UTM).to_file(tmp_path / "lines.gpkg")
    with pytest.raises(GeometryError, match="feature 1: it has a vertex that is no finite place"):
        read_lines(tmp_path / "lines.gpkg")


def test_a_geopackage_of_several_layers_needs_one_called_lines(lines, tmp_path):
    """It is found among others, or asked for."""
    write_lines(lines, tmp_path / "site.gpkg")
    frame = geopandas.read_file(tmp_path / "site.gpkg")
    frame.to_file(tmp_path / "site.gpkg", layer="berms")
    assert len(read_lines(tmp_path / "site.gpkg")[0].lines) == 5
    frame.to_file(tmp_path / "other.gpkg", layer="a")
    frame.to_file(tmp_path / "other.gpkg", layer="b")
    with pytest.raises(GeometryError, match=r"has layers \['a', 'b'\]; name one of them 'lines'"):
        read_lines(tmp_path / "other.gpkg")


def test_a_shapefile_without_a_crs_is_refused(lines, tmp_path):
    """Its coordinates could lie anywhere."""
    with catch_warnings():
        simplefilter("ignore", (UserWarning, RuntimeWarning))
        geopandas.GeoDataFrame(geometry=[shapely.LineString(wave(5))]).to_file(tmp_path / "lines.shp", engine="pyogrio")
    with pytest.raises(GeometryError, match="has no coordinate reference system"):
        read_lines(tmp_path / "lines.shp")


def test_every_state_is_read(tmp_path):
    """And none is taken for another."""
    lines = Lines(
        tuple(DecidedLine(f"S{i}", state, wave(5, north_m=20 * i)) for i, state in enumerate(LINE_STATES, 1)), UTM
    )
    write_lines(lines, tmp_path / "lines.geojson")
    assert [line.state for line in read_lines(tmp_path / "lines.geojson")[0].lines] == list(LINE_STATES)


def test_files_are_edited_without_a_map_program(lines, tmp_path):
    """A GeoPackage through a database, a GeoJSON through a text: nothing of this project or of GDAL writes them."""
    write_lines(lines, tmp_path / "lines.gpkg")
    with sqlite3.connect(tmp_path / "lines.gpkg") as database:
        for (trigger,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            database.execute(f'DROP TRIGGER "{trigger}"')  # they call functions that only map programs have
        database.execute("UPDATE lines SET state = 'held', bottom_width_m = 1.5 WHERE name = 'S1'")
    by_database, _ = read_lines(tmp_path / "lines.gpkg")
    write_lines(lines, tmp_path / "lines.geojson")
    told = json.loads((tmp_path / "lines.geojson").read_text())
    told["features"][0]["properties"] |= {"state": "held", "bottom_width_m": 1.5}
    (tmp_path / "lines.geojson").write_text(json.dumps(told))
    by_text, _ = read_lines(tmp_path / "lines.geojson")
    expected = lines.decide("S1", "held", bottom_width_m=1.5)
    for back in (by_database, by_text):
        assert [(line.name, line.state, line.own) for line in back.lines] == [
            (line.name, line.state, line.own) for line in expected.lines
        ]
    assert np.array_equal(by_database.lines[0].xy, replace(lines.lines[0]).xy)


@pytest.mark.parametrize(("name", "_"), FORMATS)
def test_number_of_a_line_that_was_deleted_is_not_given_again(lines, tmp_path, name, _):
    """Every feature knows the highest number of the project, so that one that is left tells it."""
    back, _ = edited(lines, tmp_path / name, lambda frame: frame.drop(["S9", "S4"]))
    assert [line.name for line in back.lines] == ["S1", "S2", "S3"]
    assert back.next_number == 10
    write_lines(back, tmp_path / name)
    assert read_lines(tmp_path / name)[0].next_number == 10
    assert back.draw([[562_000.0, 4_132_200.0], [562_030.0, 4_132_201.0]]).lines[-1].name == "S10"


def test_a_last_number_that_is_none_is_told(lines, tmp_path):
    """In one line with the feature."""
    with pytest.raises(GeometryError, match=r"feature 1 \(S1\): last_number is 2.5; give a whole number, from 0"):
        edited(lines, tmp_path / "lines.geojson", lambda frame: frame.assign(last_number=2.5))
