"""Weather and species files: what is read, and what is refused with its line."""

from pathlib import Path

import numpy as np
import pytest

from swalekit.errors import InputError
from swalekit.formats.inputs.species_csv import read_species
from swalekit.formats.inputs.weather_csv import read_weather
from swalekit.planting.plants.species import known_species
from swalekit.planting.weather.made_year import MonthlyNormals
from swalekit.planting.weather.weather import Place, Weather

PLACE = Place(37.0, 500.0)
DAYS = (
    "date,tmax_c,tmin_c,rain_mm,rh_mean_percent\n2004-02-28,18,6,0,60\n2004-02-29,19,7.5,4.2,\n2004-03-01,17,5,0,55\n"
)
SPECIES = Path(__file__).parents[3] / "swalekit" / "tables" / "species.csv"


def months(count: int = 12, *, hot: str = "25") -> str:
    """A file of monthly normals."""
    rows = [f"{number},{hot},10,30,4" for number in range(1, count + 1)]
    return "\n".join(["month,tmax_c,tmin_c,rain_mm,rain_days", *rows]) + "\n"


def given(folder: Path, text: str) -> Path:
    """A file with a text."""
    path = folder / "weather.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_days_are_read_with_their_leap_day_and_gaps_counted(tmp_path):
    """A reading that isn't needed may be missing; how many are is said."""
    weather, notes = read_weather(given(tmp_path, DAYS), PLACE)
    assert isinstance(weather, Weather)
    assert (str(weather.dates[1]), weather.tmin_c[1], weather.rain_mm[1]) == ("2004-02-29", 7.5, 4.2)
    assert np.isnan(weather.readings.rh_mean_percent[1])
    assert notes == ("weather: no reading of rh_mean_percent on 1 of 3 days; filled the published way",)


def test_us_units_and_decimal_commas_are_converted(tmp_path):
    """Fahrenheit and inches by the names of their columns."""
    text = "date;tmax_f;tmin_f;rain_in\n2004-02-28;68,0;50;1,5\n"
    weather, _ = read_weather(given(tmp_path, text), PLACE)
    assert [weather.tmax_c[0], weather.tmin_c[0], weather.rain_mm[0]] == pytest.approx([20.0, 10.0, 38.1])


def test_months_are_normals(tmp_path):
    """Twelve rows headed month."""
    normals, notes = read_weather(given(tmp_path, months()), PLACE)
    assert isinstance(normals, MonthlyNormals)
    assert (normals.rain_mm.sum(), notes) == (360.0, ())


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (DAYS.replace("19,7.5", ",7.5"), r"line 3: tmax_c is missing; fill it"),
        (DAYS.replace(",4.2,", ",,").replace("17,5,0", "17,5,"), r"line 3: rain_mm is missing \(the first of 2\)"),
        (DAYS.replace("7.5", "mild"), r"line 3: 'mild' in column 3 is not a number"),
        (DAYS.replace("2004-02-29", "2005-02-29"), r"line 3: '2005-02-29' is not a date"),
        (DAYS.replace("2004-02-29", "2004-02-27"), r"day 2004-02-27 \(row 2\) comes after 2004-02-28"),
        (DAYS.replace("18,6", "96.8,6"), r"tmax_c of 2004-02-28 \(row 1\) is 96.8 °C.*Fahrenheit"),
        (DAYS.replace(",60", ",160"), r"rh_mean_percent of 2004-02-28 \(row 1\) is 160 %"),
        (DAYS.replace("rh_mean_percent", "rh_men_percent"), r"line 1: no column is called.*did you mean 'rh_mean"),
        (DAYS.replace("rh_mean_percent", "tmax_f"), "line 1: tmax_c is given twice"),
        (DAYS.replace("rain_mm", "wind_m_s"), "line 1: column rain_mm is missing"),
        (DAYS.replace("date", "day"), "line 1: 'day' heads the first column"),
        (DAYS.replace("55\n", "55,1\n"), "line 4: 6 cells under 5 heads"),
        ("date,tmax_c,tmin_c,rain_mm\n", "0 rows"),
        (months(11), "line 12: the last of 11 months"),
        (months(13), "line 14: '13' where month 12"),
        (months(hot=""), "line 2: tmax_c is missing .the first of 12"),
        (months().replace("\n7,25", "\n7,96.8"), r"monthly normals: tmax_c of month 7 is 96.8 °C.*Fahrenheit"),
        (months().replace("\n3,25,10", "\n3,9,10"), "monthly normals: tmin_c of month 3 is 10 and tmax_c 9"),
        (months(hot="60").replace(",10,", ",50,"), "tmax_c of month 1 is 60 °C"),
        (months(hot="50").replace(",10,", ",30,"), "the mean temperature is 40.0 °C"),
        (
            months().replace("\n1,25", "\n1,35").replace("\n12,25", "\n12,35").replace("\n2,25", "\n2,35"),
            "check its sign",
        ),
    ],
)
def test_faults_are_named_with_their_line_or_day(tmp_path, text, words):
    """In one line that says what to do."""
    with pytest.raises(InputError, match=words) as caught:
        read_weather(given(tmp_path, text), PLACE)
    assert "weather.csv" in str(caught.value)
    assert "\n" not in str(caught.value)


def test_species_file_is_read_as_the_table_is(tmp_path):
    """The product's own table comes back whole, also without its last columns; a bad row is named."""
    assert read_species(SPECIES) == known_species()
    head, row, *_ = SPECIES.read_text(encoding="utf-8").splitlines()
    short = given(tmp_path, f"{head.removesuffix(',crop,source')}\n{row.removesuffix(',,common practice')}\n")
    assert read_species(short)["mulga"].source == "given by the user"
    with pytest.raises(InputError, match=r"row 1 \(mulga\): column 'canopy_m' is missing"):
        read_species(given(tmp_path, f"{head.replace('canopy_m', 'crown_m')}\n{row}\n"))
    with pytest.raises(InputError, match="line 1: 1 rows under this header"):
        read_species(given(tmp_path, "plant,role\nolive,fruit\n"))
