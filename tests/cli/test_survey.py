"""``swalekit survey`` as an office uses it: a plan, a crew's points with a planted fault, verdicts, one-line errors."""

import csv
import json
import shutil
import sys
from dataclasses import replace

import numpy as np
import pytest
from bad_input import assert_one_line_error
from read_back import csv_rows
from sites import plane, write_tile
from surveyed_ground import crew, together

from swalekit.cli.main import run
from swalekit.design.survey.stakeout import laid_swales
from swalekit.errors import InputError
from swalekit.formats.exchange.points_csv import write_points
from swalekit.results.folder.seal import seal
from swalekit.results.plan.again import plan_again, read_recorded_plan
from swalekit.terrain.survey_points import SurveyPoints

FILES = {"survey.csv", "low_spots.csv", "unmatched.csv", "profiles.pdf", "summary.json"}
BRIEF = """[terrain]
file = "plane.tif"
[storm]
depth_mm = 50.0
[soil]
curve_number = 80
[levels]
levels_m = [108.0, 104.0]
"""


def call(*words: object) -> int:
    """Run the command; give its exit code."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(sys, "argv", ["swalekit", *map(str, words)])
        with pytest.raises(SystemExit) as stop:
            run()
    return int(stop.value.code or 0)


@pytest.fixture(scope="module")
def planned(tmp_path_factory):
    """A folder with a plane of 10 %, its brief and the plan of two lines."""
    folder = tmp_path_factory.mktemp("planned")
    write_tile(folder / "plane.tif", plane(shape=(120, 60)).heights)
    (folder / "site.toml").write_text(BRIEF, encoding="utf-8")
    assert call("plan", folder / "site.toml", "--out", folder / "plan", "--quiet") == 0
    return folder


@pytest.fixture(scope="module")
def design(planned):
    """The design behind that plan."""
    return plan_again(read_recorded_plan(planned / "plan"))


@pytest.fixture
def office(planned, tmp_path, monkeypatch, capsys):
    """A copy of the folder to work in; run the command there: exit code, standard output, standard error."""
    shutil.copytree(planned, tmp_path, dirs_exist_ok=True)
    monkeypatch.chdir(tmp_path)

    def survey(*words: object) -> tuple[int, str, str]:
        capsys.readouterr()
        code = call("survey", *words)
        return (code, *capsys.readouterr())

    return survey


def sag(depth_m: float, start_m: float = 20.0, stop_m: float = 26.0):
    """A crest low between two chainages, with a metre of slope at either end, and noise of half a centimetre."""

    def departure(chainage):
        beyond = np.maximum(np.maximum(start_m - chainage, chainage - stop_m), 0.0)
        noise = np.random.default_rng(3).normal(0.0, 0.005, chainage.size)
        return noise - depth_m * np.clip(1.0 - beyond, 0.0, 1.0)

    return departure


def shots(design, *, depth_m: float = 0.12) -> SurveyPoints:
    """What a crew shoots on both swales, S1 with a sag in its crest."""
    first, second = laid_swales(design)
    noise = sag(0.0)
    sound = {"step_m": 1.0, "floor": noise}
    return together(crew(first, crest=sag(depth_m), **sound), crew(second, crest=noise, **sound))


def test_planted_sag_is_found(office, design, tmp_path):
    """12 cm over 6 m: chainage, depth, metres and soil to cure it by hand; the other swale is sound."""
    write_points(shots(design), tmp_path / "built.csv")
    code, out, err = office("plan", "built.csv")
    assert (code, err) == (0, "")
    assert {path.name for path in (tmp_path / "survey").iterdir()} == FILES
    first, second = csv_rows(tmp_path / "survey" / "survey.csv")
    assert (first["verdict"], second["verdict"]) == ("outside tolerance", "within tolerance")
    (spot,) = csv_rows(tmp_path / "survey" / "low_spots.csv")
    assert (spot["swale"], spot["part"], spot["kind"]) == ("S1", "crest", "low")
    assert float(spot["from_m"]) == pytest.approx(19.4, abs=0.15)
    assert float(spot["to_m"]) == pytest.approx(26.6, abs=0.15)
    assert float(spot["greatest_m"]) == pytest.approx(0.12, abs=0.015)
    by_hand_m3 = 6.0 * (0.5 * 0.12 + 2.0 * 0.12**2) + 1.17 * (0.5 * 0.085 + 2.0 * 0.085**2)
    assert float(spot["fill_m3"]) == pytest.approx(by_hand_m3, rel=0.1)
    for words in ("S1: crest 0.1", "raise 7.", "of compacted soil", "1 within tolerance, 1 outside tolerance", " %"):
        assert words in out
    assert "a licensed engineer inspects the works" in out
    assert out.strip().endswith("results in survey")


def test_deep_sag_costs_storage_and_storm(office, design, tmp_path):
    """25 cm of 15 cm freeboard: water leaves over the berm 10 cm below the sill, and less is held."""
    write_points(shots(design, depth_m=0.25), tmp_path / "built.csv")
    code, out, _ = office("plan", "built.csv", "--json")
    assert code == 0
    summary = json.loads(out)
    assert summary == json.loads((tmp_path / "survey" / "summary.json").read_text(encoding="utf-8"))
    first, second = summary["swales"]
    assert first["spills_over"] == "crest"
    assert first["spill_m"] == pytest.approx(first["design_sill_m"] - 0.10, abs=0.02)
    assert 20.0 <= first["spill_at_m"] <= 26.0
    assert first["storage_m3"] < 0.9 * first["design_storage_m3"]
    assert first["held_storm_mm"] < first["design_held_storm_mm"] - 2.0
    assert first["design_held_storm_mm"] == round(design.swales[0].sized_storm_mm, 1)
    assert second["held_storm_mm"] < second["design_held_storm_mm"]
    assert {caution["caution"] for caution in summary["cautions"]} >= {"spills over the berm", "levels only"}
    assert (summary["points"], summary["unmatched"]) == (len(shots(design).number), 0)


def test_same_bytes_twice(office, design, tmp_path):
    """Tables, profiles and summary."""
    write_points(shots(design), tmp_path / "built.csv")
    for name in ("a", "b"):
        assert office("plan", "built.csv", "--out", name, "--quiet") == (0, "", "")
    for file in FILES:
        assert (tmp_path / "a" / file).read_bytes() == (tmp_path / "b" / file).read_bytes()


def test_every_shape_of_file_gives_the_same_verdicts(office, design, tmp_path):
    """A byte order mark with semicolons and decimal commas, easting first in feet."""
    points = shots(design)
    points = replace(points, height_m=points.height_m.round(3), description=("S1, floor", *points.description[1:]))
    write_points(points, tmp_path / "plain.csv")
    write_points(points, tmp_path / "feet.csv", order="PENZD", unit="ft")
    with (tmp_path / "plain.csv").open(encoding="utf-8", newline="") as file:
        lines = [[cell.replace(".", ",") for cell in row] for row in csv.reader(file)]
    text = "\r\n".join(";".join(line) for line in lines)
    (tmp_path / "commas.csv").write_text(text, encoding="utf-8-sig")
    ways = {"plain": [], "commas": [], "feet": ["--order", "PENZD", "--unit", "ft"]}
    for name, words in ways.items():
        assert office("plan", f"{name}.csv", "--out", name, *words, "--quiet") == (0, "", "")
    verdicts = {name: [row["verdict"] for row in csv_rows(tmp_path / name / "survey.csv")] for name in ways}
    assert verdicts["plain"] == verdicts["feet"] == ["outside tolerance", "within tolerance"]
    assert (tmp_path / "plain" / "survey.csv").read_bytes() == (tmp_path / "commas" / "survey.csv").read_bytes()


def test_points_that_match_nothing_are_listed(office, design, tmp_path):
    """A missing height, an unknown code that a spreadsheet would run, a point far away: none is dropped."""
    points = shots(design)
    height, easting = points.height_m.copy(), points.easting_m.copy()
    height[3], easting[5] = np.nan, easting[5] + 500.0
    code = (*points.description[:4], '=HYPERLINK("x")', *points.description[5:])
    write_points(replace(points, height_m=height, easting_m=easting, description=code), tmp_path / "built.csv")
    code, out, _ = office("plan", "built.csv")
    assert (code, "the other 3 in unmatched.csv" in out) == (0, True)
    listed = csv_rows(tmp_path / "survey" / "unmatched.csv")
    assert [int(row["number"]) for row in listed] == points.number[3:6].tolist()
    for row, reason in zip(listed, ("it has no height", "names none of floor, crest, sill", "m from S1"), strict=True):
        assert reason in row["reason"]
    assert listed[1]["code"] == '\'=HYPERLINK("x")'


def moved(points: SurveyPoints, **parts) -> SurveyPoints:
    """Points with a number added to some of their parts."""
    return replace(points, **{name: getattr(points, name) + by for name, by in parts.items()})


def swapped(points: SurveyPoints) -> SurveyPoints:
    """Points with their axes swapped."""
    return replace(points, easting_m=points.northing_m, northing_m=points.easting_m)


def in_feet(points: SurveyPoints) -> SurveyPoints:
    """Points whose figures are feet."""
    return replace(points, **{name: getattr(points, name) / 0.3048 for name in ("easting_m", "northing_m", "height_m")})


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        (swapped, ["no surveyed point lies on the site", "read the file in the other order (PNEZD, PENZD)"]),
        (in_feet, ["no surveyed point lies on the site", "do as feet; say that the file is in feet"]),
        (lambda points: in_feet(swapped(points)), ["in feet, in the other order"]),
        (lambda points: moved(points, easting_m=5000.0), ["none of the", "m from S1", "Check the order, the unit"]),
        (lambda points: moved(points, height_m=48.0), ["heights lie 4", "above the design", "datum"]),
        (
            lambda points: replace(points, description=("toe",) * len(points.number)),
            ["can be used", "names none of floor"],
        ),
        (lambda points: replace(points, number=points.number % 50), ["built.csv", "line 52", "line 2 already"]),
    ],
)
def test_points_that_mean_something_else_are_one_line(office, design, tmp_path, fault, words):
    """Exit code 2, one line that says what to do, no folder."""
    write_points(fault(shots(design)), tmp_path / "built.csv")
    assert_one_line_error(office("plan", "built.csv"), *words)
    assert not (tmp_path / "survey").exists()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1,4000000,500000,108,floor\n2,4000000,5OOOOO,108,floor\n", ["built.csv", "line 2", "'5OOOOO' in column 3"]),
        ("point,northing,easting,elevation,code\n", ["holds no point"]),
        ("", ["built.csv", "empty"]),
        ("Point,Easting,Northing,Z\n1,2,3,4\n", ["line 1", "PENZD and not PNEZD"]),
    ],
)
def test_faulty_files_are_one_line(office, tmp_path, text, words):
    """With the line number where there is one."""
    (tmp_path / "built.csv").write_text(text, encoding="utf-8")
    assert_one_line_error(office("plan", "built.csv"), *words)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["site.toml"], "holds no summary.json"),
        (["nowhere"], "holds no summary.json"),
        (["plan", "--unit", "yd"], "point_unit is 'yd'"),
        (["plan", "--tolerance-sill", "0"], "sill_tolerance_m is 0"),
        (["plan", "--out", "plan"], "an earlier result is there"),
        (["plan", "--brief", "other.toml"], "brief 'other.toml' does not exist"),
    ],
)
def test_wrong_calls_are_one_line(office, design, tmp_path, words, expected):
    """Exit code 2 before the plan is made again."""
    write_points(shots(design), tmp_path / "built.csv")
    assert_one_line_error(office(words[0], "built.csv", *words[1:]), expected)


def change_summary(folder, change) -> None:
    """Write a plan's summary anew, as if it had been planned so."""
    path = folder / "plan" / "summary.json"
    summary = json.loads(path.read_text(encoding="utf-8"))
    change(summary)
    path.write_text(json.dumps(summary), encoding="utf-8")
    seal(path.parent)


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (lambda told: told.pop("brief"), "has no 'brief'"),
        (lambda told: told["inputs"][0].pop("path"), "does not say where the inputs lie"),
        (lambda told: told["inputs"][0].update(sha256="0" * 64), "'plan/../plane.tif' is not the file that 'plan'"),
        (lambda told: told["swales"].pop(), "records 1 swales, but its inputs now give 2"),
        (lambda told: told["swales"][1].update(length_m=12.5), "records length_m 12.5 of S2, but its inputs now give"),
        (lambda told: told["brief"]["soil"].update(curve_number=300.0), "[soil] curve_number is 300.0"),
    ],
)
def test_plan_that_is_not_what_it_was_is_one_line(office, design, tmp_path, change, expected):
    """What differs is named."""
    write_points(shots(design), tmp_path / "built.csv")
    change_summary(tmp_path, change)
    assert_one_line_error(office("plan", "built.csv"), expected)


def test_last_place_of_a_figure_may_differ(planned, tmp_path):
    """Another machine rounds otherwise."""
    shutil.copytree(planned, tmp_path, dirs_exist_ok=True)
    change_summary(tmp_path, lambda told: told["swales"][0].update(length_m=told["swales"][0]["length_m"] + 0.1))
    assert len(plan_again(read_recorded_plan(tmp_path / "plan")).swales) == 2
    change_summary(tmp_path, lambda told: told["swales"][0].update(length_m=told["swales"][0]["length_m"] + 0.2))
    with pytest.raises(InputError, match="records length_m"):
        plan_again(read_recorded_plan(tmp_path / "plan"))


def test_moved_inputs_are_found_by_the_brief(office, design, tmp_path):
    """Without it the missing file is named; a whole folder that moved needs no brief."""
    write_points(shots(design), tmp_path / "built.csv")
    (tmp_path / "tiles").mkdir()
    shutil.move(tmp_path / "plane.tif", tmp_path / "tiles" / "hill.tif")
    assert_one_line_error(office("plan", "built.csv"), "plane.tif", "is no longer there", "--brief SITE.toml")
    (tmp_path / "site.toml").write_text(BRIEF.replace("plane.tif", "tiles/hill.tif"), encoding="utf-8")
    assert office("plan", "built.csv", "--brief", "site.toml", "--quiet") == (0, "", "")


def test_relevelled_lines_are_what_counts(office, design, tmp_path, capsys):
    """A folder that relevel wrote is checked against the lines as moved, not as planned."""
    assert call("stake", "site.toml", "--quiet") == 0
    with (tmp_path / "stakes" / "points.csv").open(encoding="utf-8") as file:
        stakes = [row for row in csv.reader(file) if row[0].isdigit() and 1000 < int(row[0]) < 1300]
    with (tmp_path / "levelled.csv").open("w", encoding="utf-8") as file:
        for number, northing, easting, height, *_ in stakes:
            file.write(f"{number},{float(northing) - 1.0:.3f},{easting},{float(height) - 0.1:.3f}\n")
    assert call("relevel", "site.toml", "levelled.csv", "--quiet") == 0
    cut = plan_again(read_recorded_plan(tmp_path / "relevelled"))
    assert cut.swales[0].line.level_m == pytest.approx(107.9, abs=0.01)
    write_points(shots(cut, depth_m=0.0), tmp_path / "built.csv")
    code, out, _ = office("relevelled", "built.csv", "--json")
    assert code == 0
    assert json.loads(out)["verdicts"] == {"within tolerance": 2}


def test_plan_without_swales_has_nothing_to_check(office, design, tmp_path):
    """One line."""
    (tmp_path / "flat.toml").write_text(
        BRIEF.replace("levels_m = [108.0, 104.0]", "interval_m = 500.0"), encoding="utf-8"
    )
    assert call("plan", "flat.toml", "--out", "none", "--quiet") == 0
    write_points(shots(design), tmp_path / "built.csv")
    assert_one_line_error(office("none", "built.csv"), "no swale to check a survey against")


def test_us_units_read_tolerances_in_feet(office, design, tmp_path):
    """A foot of tolerance passes the sag; the terminal speaks in inches and cubic yards."""
    (tmp_path / "us.toml").write_text('[site]\nunits = "us"\n' + BRIEF, encoding="utf-8")
    assert call("plan", "us.toml", "--out", "us", "--quiet") == 0
    write_points(shots(design), tmp_path / "built.csv")
    code, out, _ = office("us", "built.csv", "--tolerance-crest", "1")
    assert (code, "2 within tolerance" in out, "yd³" in out) == (0, True, True)
    summary = json.loads((tmp_path / "survey" / "summary.json").read_text(encoding="utf-8"))
    assert summary["rules"]["crest_tolerance_m"] == pytest.approx(0.3048)
