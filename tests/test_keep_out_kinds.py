"""Every kind of keep-out stands in every place that speaks of kinds."""

import json
from pathlib import Path

import numpy as np
import pytest
import shapely
from matplotlib.figure import Figure

from swalekit.contours.obstacles import CROSSING, HARM_ORDER, KEEP_OUT_KINDS, KeepOut
from swalekit.errors import GeometryError, InputError
from swalekit.formats.inputs.site import site_from_values
from swalekit.grid import Grid
from swalekit.reporting.map import layers as map_layers
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.legend import legend_entries
from swalekit.reporting.paper import palette
from swalekit.section.sill_place import spill_path
from swalekit.tables.load import named_rows
from swalekit.tables.values import setback
from swalekit.terrain.terrain import Terrain

SAMPLE = Path(__file__).parents[1] / "sample_terrain" / "site.toml"
AREAS = (
    "building",
    "slip-prone ground",
    "septic field",
    "heritage",
    "other",
    "rock",
    "wetland",
    "tree",
    "road",
    "spring",
)
LINES = ("property line", "buried utility", "road", "fence", "power line", "slip-prone ground", "heritage", "wetland")
POINTS = ("well", "spring", "tree", "power line", "rock", "heritage", "other", "building", "fence", "wetland")
PLACES = {"area": (AREAS, shapely.box(20.0, 20.0, 24.0, 24.0)), "point": (POINTS, shapely.Point(22.0, 22.0))}
PLACES["line"] = (LINES, shapely.LineString([(20.0, 22.0), (24.0, 22.0)]))

GRID = Grid.from_corner((60, 40), cell_m=1.0, west_m=0.0, north_m=60.0)
SLOPE = Terrain.from_heights(np.repeat(np.arange(60.0, 0.0, -1.0)[:, np.newaxis] / 10.0, 40, axis=1), GRID)
WAY = np.array([[22.5, 50.5], [22.5, 30.5], [22.5, 5.5]])


def _site(tmp_path: Path, kind: str, **properties: object):
    place = shapely.to_geojson(shapely.Point(-3.0, 40.0))
    feature = {"type": "Feature", "properties": {"kind": kind, **properties}, "geometry": json.loads(place)}
    file = tmp_path / "keep_outs.geojson"
    file.write_text(json.dumps({"type": "FeatureCollection", "features": [feature]}))
    values = {"terrain.file": "t.tif", "storm.depth_mm": 50, "soil.curve_number": 80, "levels.interval_m": 2}
    return site_from_values({**values, "area.keep_outs": str(file)})


def test_each_kind_has_its_row_and_its_symbol_and_no_other_does():
    """Setbacks, symbols and the sample's list name the kinds that there are."""
    assert set(named_rows("setbacks")) == set(KEEP_OUT_KINDS)
    assert {*KEEP_OUT_KINDS, CROSSING} == set(palette.KEEP_OUT_SYMBOLS)
    listed = SAMPLE.read_text(encoding="utf-8").split("[area.setbacks_m]")[1].split("[storm]")[0]
    assert [kind for kind in KEEP_OUT_KINDS if kind not in listed] == []
    assert {kind for kinds, _ in PLACES.values() for kind in kinds} == set(KEEP_OUT_KINDS)


@pytest.mark.parametrize("kind", KEEP_OUT_KINDS)
def test_a_file_of_each_kind_is_read_with_its_setback(kind: str, tmp_path: Path) -> None:
    """Without a distance of its own a keep-out has that of the table, and the brief may change it."""
    (keep_out,) = _site(tmp_path, kind, name="Thing").keep_outs
    assert (keep_out.kind, keep_out.setback_m) == (kind, setback(kind).value)
    assert "Thing" in keep_out.title
    assert _site(tmp_path, kind, name="Thing", setback_m=2.5).keep_outs[0].setback_m == 2.5


@pytest.mark.parametrize("kind", KEEP_OUT_KINDS)
def test_water_is_told_only_where_it_may_not_be_led(kind: str) -> None:
    """A way of overflow through a thing harms it unless water may be led there; what is exposed takes none."""
    thing = KeepOut(kind, PLACES["area"][1], 1.0, "Thing")
    dry = np.zeros(GRID.shape, bool)
    path = spill_path(3, WAY, 0, SLOPE, dry, keep_outs=[thing], boundary=None)
    harmed = not KEEP_OUT_KINDS[kind].takes_water
    assert path.harms == (((kind, thing.title),) if harmed else ())
    assert (kind in HARM_ORDER) == harmed
    assert not (KEEP_OUT_KINDS[kind].exposed and KEEP_OUT_KINDS[kind].takes_water)


def test_water_may_be_led_to_a_wetland_and_over_rock_but_not_on_slopes_that_slip():
    """The rule of the trade, kind by kind."""
    assert {kind for kind, to in KEEP_OUT_KINDS.items() if to.takes_water} == {"wetland", "rock", "fence", "power line"}
    assert {"building", "septic field", "slip-prone ground", "heritage"} <= {
        kind for kind, to in KEEP_OUT_KINDS.items() if to.exposed
    }
    assert HARM_ORDER[0] == "building"


@pytest.mark.parametrize("form", PLACES)
def test_kinds_are_told_apart_on_the_map(form: str) -> None:
    """Of kinds that are commonly drawn in one form no two look alike, and each has its words in the legend."""
    kinds, place = PLACES[form]
    styles = {"area": map_layers.keep_out_area, "line": map_layers.keep_out_stroke, "point": map_layers.keep_out_mark}
    looks = [{key: repr(value) for key, value in styles[form](kind).items() if key != "path_effects"} for kind in kinds]
    assert len({repr(look) for look in looks}) == len(kinds)
    content = MapContent("Kinds", SLOPE, keep_outs=tuple((kind, "Thing", place, None) for kind in kinds))
    words = [words for words, _ in legend_entries(content)]
    assert [kind for kind in kinds if kind[:1].upper() + kind[1:] not in words] == []
    assert map_layers.draw_keep_outs(content, Figure().subplots()).patches


def test_another_thing_has_a_name(tmp_path: Path) -> None:
    """The kind other says what it is, and is called by that; without it, it is refused in one line."""
    assert KeepOut("other", shapely.Point(0.0, 0.0), 3.0, "Beehives").label == "'Beehives', setback 3 m"
    with pytest.raises(InputError, match="no name"):
        KeepOut("other", shapely.Point(0.0, 0.0), 3.0)
    with pytest.raises(GeometryError, match="feature 1: a keep-out of kind 'other' has no name"):
        _site(tmp_path, "other")
