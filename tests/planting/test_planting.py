"""Species, places, years and materials of a planting."""

import csv
import io
from itertools import pairwise

import numpy as np
import pytest
import shapely

from swalekit.contours.line import LevelLine
from swalekit.design.budget.bill import BillLine, bill_of
from swalekit.errors import InputError
from swalekit.kernels.section_nodes import CREST_INNER_EDGE, CREST_OUTER_EDGE, DOWNHILL_TOE
from swalekit.planting.plants.canopy import sparse_coefficient
from swalekit.planting.plants.plant_positions import plant_positions
from swalekit.planting.plants.plant_rows import PlantRow, berm_row, usual_rows
from swalekit.planting.plants.species import ROLES, crop_of, find_species, known_species, species_from_rows
from swalekit.planting.plants.succession import RoleYears, canopies_by_year, role_years
from swalekit.planting.work.materials import compost_m3, mulch_plan
from swalekit.planting.work.nursery import nursery_stock, planting_cautions
from swalekit.planting.work.work_calendar import RainySeason, rainy_season, work_calendar
from swalekit.planting.work.yearly_work import Work, schedule
from swalekit.section.section import Section
from swalekit.section.shape import ShapedSwale, shape_swale
from swalekit.section.stations import Stations
from swalekit.tables.load import read_table

KNOWN = known_species()
SENNA, FIG, THYME = KNOWN["bladder senna"], KNOWN["fig"], KNOWN["creeping thyme"]


def eastward(length_m: float = 100.0, *, west: bool = False) -> LevelLine:
    """A straight line walked eastward, downhill to the south; or westward, downhill to the north."""
    x = np.arange(0.0, length_m + 1.0, 2.0)
    xy = np.column_stack([x[::-1] if west else x, 0.0 * x])
    return LevelLine(100.0, False, xy, np.full(x.size, 100.0), np.full(x.size, 0.1))


def corner() -> LevelLine:
    """Forty metres north, then forty east: downhill lies inside the bend."""
    side = np.arange(0.0, 41.0, 2.0)
    xy = np.vstack([np.column_stack([0.0 * side, side]), np.column_stack([side[1:], 0.0 * side[1:] + 40.0])])
    return LevelLine(100.0, False, xy, np.full(len(xy), 100.0), np.full(len(xy), 0.1))


def swale_of(line: LevelLine) -> ShapedSwale:
    """A ditch half a metre deep on a line."""
    count = len(line.xy)
    stations = Stations(100.0, line.ground_m, line.cross_slope, line.width_m, np.full(count, 20.0))
    return shape_swale(stations, 0.5, Section())


def test_species_table_is_whole():
    """Every role is there, every row has its source, and pioneers fix nitrogen."""
    assert {species.role for species in KNOWN.values()} == set(ROLES)
    assert len(KNOWN) >= 25
    assert len({species.binomial for species in KNOWN.values()}) == len(KNOWN)
    assert all(species.source for species in KNOWN.values())
    assert all(species.nitrogen_fixing for species in KNOWN.values() if species.role == "pioneer")


def test_unknown_species_lists_near_ones():
    """A slip of the pen gets the names near it; a stranger is told where to put it."""
    with pytest.raises(InputError, match=r"'apricott' isn't in the table; did you mean apricot"):
        find_species("apricott", KNOWN)
    with pytest.raises(InputError, match=r"'zzz' isn't in the table; none is near it"):
        find_species("zzz", KNOWN)
    assert find_species("Punica granatum", KNOWN).name == "pomegranate"


@pytest.mark.parametrize(
    ("column", "text", "words"),
    [
        ("role", "hero", r"row 1 \(olive\): role is 'hero'"),
        ("canopy_m", "wide", r"row 1 \(olive\): could not convert"),
        ("canopy_m", "-2", r"row 1 \(olive\): canopy_m is -2"),
        ("nitrogen_fixing", "maybe", r"row 1 \(olive\): nitrogen_fixing is 'maybe'"),
        ("name", "almond", "row 2: 'almond' is given twice"),
    ],
)
def test_species_file_that_cannot_be_read_fails(column: str, text: str, words: str):
    """A row of the user's own species that breaks a rule is named."""
    rows = {row["name"]: dict(row) for row in read_table("species")}
    with pytest.raises(InputError, match=words) as error:
        species_from_rows([rows["olive"] | {column: text}, rows["almond"]])
    assert "\n" not in str(error.value)


def test_own_species_from_csv_text():
    """Columns that may be left out are, and a missing one is named."""
    kept = [name for name in read_table("species")[0] if name not in ("crop", "watch", "source")]
    buffer = io.StringIO()
    writer = csv.DictWriter(buffer, kept, extrasaction="ignore")
    writer.writeheader()
    writer.writerow(dict(read_table("species")[0]) | {"name": "my wattle"})
    rows = list(csv.DictReader(buffer.getvalue().splitlines()))
    assert species_from_rows(rows)["my wattle"].source == "given by the user"
    del rows[0]["canopy_m"]
    with pytest.raises(InputError, match="column 'canopy_m' is missing"):
        species_from_rows(rows)


def test_rows_follow_the_berm():
    """Ground cover on the crest, trees half a metre below the toe, rows a tree's spacing apart."""
    line = eastward()
    shape = swale_of(line)
    rows = [berm_row(shape, [THYME], 0.4), *usual_rows(shape, [SENNA], [FIG], rows_below=1)]
    assert [row.name for row in rows] == ["berm", "foot", "below 1"]
    planting = plant_positions(line, rows, latitude_deg=37.0)
    x_m = shape.nodes[0][:, 0]
    crest_m = 0.5 * (x_m[CREST_INNER_EDGE] + x_m[CREST_OUTER_EDGE])
    south = {name: -planting.xy[np.array(planting.row) == name, 1] for name in ("berm", "foot", "below 1")}
    assert south["berm"] == pytest.approx(np.full(south["berm"].size, crest_m))
    assert south["foot"] == pytest.approx(np.full(39, x_m[DOWNHILL_TOE] + 0.5))
    assert south["below 1"] - south["foot"][0] == pytest.approx(np.full(40, FIG.spacing_m))
    assert planting.counts[FIG] + planting.counts[SENNA] == 79


def test_pioneers_take_turns_with_trees_at_even_steps():
    """Neighbours differ and stand half a tree's spacing apart; rows are staggered."""
    line = eastward()
    rows = usual_rows(swale_of(line), [SENNA], [FIG], rows_below=1)
    planting = plant_positions(line, rows, latitude_deg=37.0)
    foot = np.array(planting.row) == "foot"
    names = [species.name for species in np.array(planting.species, object)[foot]]
    assert all(first != second for first, second in pairwise(names))
    assert np.diff(planting.xy[foot, 0]) == pytest.approx(np.full(39, 2.5))
    assert planting.xy[~foot][0, 0] - planting.xy[foot][0, 0] == pytest.approx(1.25)


@pytest.mark.parametrize("west", [False, True])
def test_pioneer_stands_on_the_side_of_the_afternoon_sun(west: bool):
    """In each pair along an east-west row the pioneer is the western one, whichever way the line is walked."""
    line = eastward(west=west)
    planting = plant_positions(line, usual_rows(swale_of(line), [SENNA], [FIG], rows_below=0), latitude_deg=37.0)
    order = np.argsort(planting.xy[:, 0])
    assert [planting.species[place].name for place in order[:4]] == ["bladder senna", "fig"] * 2


def test_afternoon_sun_changes_sides_at_the_equator():
    """Along a north-south row the pioneer is the southern one in the north and the northern one in the south."""
    y = np.arange(0.0, 101.0, 2.0)
    line = LevelLine(100.0, False, np.column_stack([0.0 * y, y]), np.full(51, 100.0), np.full(51, 0.1))
    row = PlantRow("foot", np.full(51, 5.0), (SENNA, FIG), 2.5)
    for latitude, first in ((37.0, "bladder senna"), (-37.0, "fig")):
        planting = plant_positions(line, [row], latitude_deg=latitude)
        assert planting.species[int(np.argmin(planting.xy[:, 1]))].name == first


def test_plants_keep_to_allowed_ground():
    """Where a way of overflow crosses, nothing is planted."""
    line = eastward()
    rows = usual_rows(swale_of(line), [SENNA], [FIG], rows_below=1)
    allowed = shapely.box(-10.0, -50.0, 110.0, 50.0).difference(shapely.box(40.0, -50.0, 50.0, 50.0))
    planting = plant_positions(line, rows, latitude_deg=37.0, allowed=allowed)
    x = planting.xy[:, 0]
    assert not ((x > 40.0) & (x < 50.0)).any()
    everywhere = plant_positions(line, rows, latitude_deg=37.0)
    assert len(x) < len(everywhere.species) == 79


def test_rows_inside_a_bend_are_thinned():
    """Where a row folds over itself, no two plants stand nearer than three quarters of its spacing."""
    line = corner()
    row = PlantRow("foot", np.full(len(line.xy), 9.0), (SENNA, FIG), 3.0)
    planting = plant_positions(line, [row], latitude_deg=37.0)
    far = np.hypot(*(planting.xy[:, None, :] - planting.xy[None, :, :]).transpose(2, 0, 1))
    assert len(planting.species) >= 20
    assert far[~np.eye(len(far), dtype=bool)].min() >= 0.75 * 3.0


def test_plants_go_all_round_a_ring():
    """Outside a knoll, a row of 20 m radius holds its girth over its spacing."""
    turn = np.linspace(0.0, 2.0 * np.pi, 60, endpoint=False)
    xy = 12.0 * np.column_stack([np.cos(turn), np.sin(turn)])
    line = LevelLine(100.0, True, xy, np.full(60, 100.0), np.full(60, 0.1))
    planting = plant_positions(line, [PlantRow("foot", np.full(60, 8.0), (SENNA, FIG), 3.0)] * 2, latitude_deg=37.0)
    assert np.hypot(*planting.xy.T) == pytest.approx(np.full(len(planting.species), 20.0), abs=0.05)
    assert planting.row.count("foot") == 2 * int(2 * np.pi * 20.0 / 3.0)


def test_planting_is_thinned_evenly_to_the_trees_that_water_carries():
    """Rows fill from the top, the last one with even gaps along the line, each tree with a pioneer."""
    line = eastward()
    rows = usual_rows(swale_of(line), [SENNA], [FIG], rows_below=1)
    planting = plant_positions(line, rows, latitude_deg=37.0, above=1)
    foot = sum(
        species.role == "fruit" and row == "foot" for species, row in zip(planting.species, planting.row, strict=True)
    )
    few = planting.carrying(5)
    assert (few.trees, few.counts[SENNA]) == (5, 5)
    pioneers = planting.carrying(3, "pioneer")
    assert (pioneers.plants_of("pioneer"), pioneers.trees) == (3, 3)
    east = np.sort([x for (x, _), species in zip(few.xy, few.species, strict=True) if species is FIG])
    assert np.diff(east) == pytest.approx(np.full(4, 20.0), abs=5.0)
    more = planting.carrying(foot + 1)
    rows = [row for row, species in zip(more.row, more.species, strict=True) if species is FIG]
    assert rows == ["foot"] * foot + ["below 1"]
    assert (planting.carrying(1000).trees, planting.carrying(0).species) == (planting.trees, ())


def test_schedule_leads_to_a_mature_stand():
    """Pioneers first, trees in their shade, losses replaced, pioneers cut, thinned and gone by year ten."""
    works = schedule({SENNA: 40, FIG: 39, THYME: 100})
    tasks = {(work.year, work.task, work.species.role): work.plants for work in works}
    assert tasks[1, "plant", "pioneer"] == 40
    assert tasks[1, "plant", "ground cover"] == 100
    assert [tasks[year, "replace losses", "pioneer"] for year in (2, 3, 4)] == [8, 5, 6]
    assert tasks[3, "plant", "fruit"] == 39
    assert tasks[6, "cut for mulch", "pioneer"] == 40
    assert tasks[7, "thin", "pioneer"] == tasks[10, "take out", "pioneer"] == 20
    assert max(work.year for work in works) == 10
    assert [work.year for work in works] == sorted(work.year for work in works)


def test_canopies_hand_over_from_pioneers_to_trees():
    """Pioneers shade the ground when trees are planted; at the end trees alone do."""
    canopies = canopies_by_year({SENNA: 40, FIG: 39})
    cover = {role: canopy.canopy_m2 for role, canopy in canopies.items()}
    assert canopies["pioneer"].plants.tolist() == [32, 35, 37, 41, 40, 40, 20, 20, 20, 0]
    assert canopies["fruit"].grown_m2[-1] == pytest.approx(39 * np.pi * FIG.canopy_m**2 / 4)
    assert cover["fruit"][1] == 0.0
    assert cover["pioneer"][2] > 0.2 * cover["pioneer"].max()
    assert cover["pioneer"][-1] == 0.0
    assert cover["fruit"][-1] == cover["fruit"].max() > 0.0


def test_own_succession_replaces_the_usual_one():
    """Years may be edited; those out of order are refused, and a role without years is asked for."""
    late = RoleYears("fruit", 5)
    assert role_years("fruit", [late]).plant_year == 5
    assert late.standing(7, np.array([4, 5])).tolist() == [0, 7]
    with pytest.raises(InputError, match="says nothing of 'pioneer'"):
        role_years("pioneer", [late])
    with pytest.raises(InputError, match="prune_from_year is 5 and thin_year is 3"):
        RoleYears("pioneer", 1, 5, 3)


def test_nursery_counts_back_from_planting():
    """100 plants take 134 seedlings at a quarter lost, sown the nursery's months before; those of gaps a year later."""
    lines = nursery_stock(schedule({SENNA: 100, FIG: 10}), np.datetime64("2026-11"))
    assert [line.sow_month for line in lines] == sorted(line.sow_month for line in lines)
    by_planting = {(line.species, line.year): line for line in lines}
    first, gaps, fig = by_planting[SENNA, 1], by_planting[SENNA, 2], by_planting[FIG, 3]
    assert (first.planted, first.replacements, first.raised) == (100, 0, 134)
    assert (str(first.plant_month), str(first.sow_month)) == ("2026-11", "2026-05")
    assert (gaps.planted, gaps.replacements, gaps.raised, str(gaps.sow_month)) == (0, 20, 27, "2027-05")
    assert (str(fig.plant_month), str(fig.sow_month)) == ("2028-11", "2028-01")
    assert (fig.raising.raised_by, fig.seed_g, fig.started) == ("cuttings", None, 17)


def test_mulch_and_compost():
    """Full depth first, then the top-up, less what pioneers give once they are cut."""
    plan = mulch_plan(1000.0, np.array([0.0, 500.0, 2000.0, 9000.0]), prune_from_year=3)
    assert plan.needed_m3.tolist() == [100.0, 50.0, 50.0, 50.0]
    assert plan.grown_m3.tolist() == [0.0, 0.0, 20.0, 50.0]
    assert plan.bought_m3.tolist() == [100.0, 50.0, 30.0, 0.0]
    assert compost_m3({FIG: 50, THYME: 100}) == pytest.approx(50 * 0.02 + 100 * 0.002)


def test_bill_adds_what_is_priced_and_names_the_rest():
    """The cost is the sum over priced lines; lines without quantity aren't there."""
    bill = bill_of(
        [BillLine("fig", 12.0, "plants"), BillLine("mulch", 30.0, "m3"), BillLine("stakes", 0.0, "pieces")],
        {"fig": 8.0},
    )
    assert (bill.cost, bill.unpriced, len(bill.lines)) == (96.0, ("mulch",), 2)
    assert bill_of([BillLine("fig", 12.0, "plants")]).cost is None
    with pytest.raises(InputError, match="price of fig is -1"):
        bill_of([BillLine("fig", 12.0, "plants")], {"fig": -1.0})


@pytest.mark.parametrize(
    ("rain", "need", "months", "humid"),
    [
        pytest.param(
            [60, 55, 45, 40, 20, 5, 0, 0, 15, 50, 65, 70],
            [40, 50, 80, 105, 140, 170, 190, 175, 120, 80, 50, 40],
            (10, 11, 12, 1, 2, 3),
            True,
            id="winter rain",
        ),
        pytest.param(
            [0, 0, 0, 5, 10, 60, 90, 80, 30, 5, 0, 0], [200] * 12, (6, 7, 8, 9), False, id="short summer rain"
        ),
        pytest.param([100] * 11 + [120], [100] * 12, (12, *range(1, 12)), True, id="rain all year"),
    ],
)
def test_rainy_season(rain: list[float], need: list[float], months: tuple[int, ...], humid: bool):
    """The longest run of wet months, over the turn of the year if need be."""
    season = rainy_season(np.array(rain, float), np.array(need, float))
    assert (season.months, season.humid) == (months, humid)


def test_calendar_stands_around_the_rains():
    """Digging before, planting at the start, cutting at the end, watering outside; nursery by its own month."""
    stock = nursery_stock([Work(1, "plant", SENNA, 100)], np.datetime64("2026-11"))
    calendar = work_calendar(RainySeason(10, 3, True), nursery=stock)
    tasks = {month.name: " | ".join(month.tasks) for month in calendar}
    assert "dig ditches" in tasks["August"]
    assert "plant once the soil is wet" in tasks["October"]
    assert "cut pioneers" in tasks["March"]
    assert "start in the nursery bladder senna: 7.4 g in 2026" in tasks["May"]
    assert all(
        "soak plants in their first three dry seasons" in tasks[month] for month in ("April", "July", "September")
    )
    assert "water those that wilt" not in tasks["January"]
    assert all(month.tasks for month in calendar)


def test_cautions_of_species():
    """Local provenance always, weed lists where a plant spreads somewhere."""
    assert list(planting_cautions([KNOWN["olive"]])) == ["local species", "invasive species"]
    assert list(planting_cautions([KNOWN["carob"]])) == ["local species"]


def test_allen_and_pereira_by_height_and_cover():
    """Allen & Pereira (2009) eq. 5 to 10, worked out by hand: trees over a third of the ground, and in dry wind."""
    assert sparse_coefficient(0.35, 3.5, regulation=0.75, least=0.15) == pytest.approx(0.544, abs=0.001)
    windy = sparse_coefficient(0.2, 3.0, regulation=0.9, least=0.15, wind_m_s=3.0, rh_min_percent=25.0)
    assert windy == pytest.approx(0.461, abs=0.001)
    assert sparse_coefficient(0.0, 3.0, least=0.15) == 0.15


def test_every_species_has_coefficients_and_says_whose():
    """Published ones of dry ground as printed; none lacks stages where it changes; what is assumed says so."""
    rows = {name: crop_of(species) for name, species in KNOWN.items()}
    assert rows["prickly pear"].kc == (0.40, 0.40, 0.40)
    assert rows["jujube"].kcb == (0.4, 1.0, 0.5)
    assert 0.21 <= rows["pomegranate"].kc[0] <= 0.30
    assert 1.08 <= rows["pomegranate"].kc[1] <= 1.25
    for row in rows.values():
        assert row.stages is not None or len(set(row.kcb)) == 1
        assert not row.assumed or "assumed" in row.source
    assert [name for name, row in rows.items() if KNOWN[name].role == "fruit" and row.assumed] == [
        "carob", "fig", "date palm", "white mulberry", "Indian jujube", "argan", "desert date", "guava", "moringa",
        "caper",
    ]  # fmt: skip


def test_a_month_that_alone_is_wet_enough_is_no_season():
    """Where it holds less than a third of the year's rain, the season is that of the wetter months."""
    rain = np.array([29, 29, 25, 6, 2, 0, 0, 0, 0, 7, 17, 34.0])
    need = np.array([64, 70, 104, 150, 170, 190, 200, 190, 150, 110, 80, 65.0])
    season = rainy_season(rain, need)
    assert (season.months, season.humid) == ((11, 12, 1, 2, 3), False)
    assert rainy_season(rain, 0.9 * need).months == (12, 1)
