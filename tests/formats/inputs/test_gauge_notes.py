"""Gauge notes as they are typed: names of columns, units, and what can't be right."""

import pytest

from swalekit.errors import InputError
from swalekit.formats.inputs import read_gauge_notes


def read(tmp_path, text):
    """Notes of a text."""
    path = tmp_path / "notes.csv"
    path.write_text(text, encoding="utf-8")
    return read_gauge_notes(path)


def test_units_stand_in_the_names(tmp_path):
    """Inches and feet, centimetres, decimal commas; empty cells and other columns are left alone."""
    (us,) = read(tmp_path, "Date,Swale,rain_in,depth_ft,after_min,who\n2026-11-03,S2,1,0.5,90,Ana\n")
    assert (us.rain_mm, us.depth_m, us.after_h) == (25.4, pytest.approx(0.1524), 1.5)
    (cm,) = read(tmp_path, "date;swale;rain_mm;depth_cm;level_m;before_cm\n2026-11-03T07:30;S2;30,5;18;;2\n")
    assert (cm.rain_mm, cm.depth_m, cm.level_m, cm.before_m) == (30.5, pytest.approx(0.18), None, pytest.approx(0.02))
    (level,) = read(tmp_path, "date,swale,rain_mm,level_m\n2026-11-03,s2,30,107.82\n")
    assert (level.swale, level.level_m) == ("S2", 107.82)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("date,swale,rain,depth_m\n2026-11-03,S2,30,0.2\n", "line 1: there is no column rain_mm; is it 'rain'"),
        ("date,swale,rain_mm\n2026-11-03,S2,30\n", "there is no column depth_m"),
        ("date,swale,rain_mm,rain_in,depth_m\n2026-11-03,S2,30,1,0.2\n", "both give the rain_mm"),
        ("date,swale,rain_mm,depth_m\n", "no reading stands below it"),
        ("date,swale,rain_mm,depth_m\n3.11.2026,S2,30,0.2\n", "line 2: '3.11.2026' is not a date"),
        ("date,swale,rain_mm,depth_m\n2026-11-03,,30,0.2\n", "no swale is named"),
        ("date,swale,rain_mm,depth_m\n2026-11-03,S2,,0.2\n", "no rain is given"),
        ("date,swale,rain_mm,depth_m\n2026-11-03,S2,0,0.2\n", "line 2: rain_mm is 0"),
        ("date,swale,rain_mm,depth_m\n2026-11-03,S2,30,deep\n", "'deep' in column 4 is not a number"),
        ("date,swale,rain_mm,depth_m\n2026-11-03,S2,30,-0.2\n", "depth_m is -0.2"),
        ("date,swale,rain_mm,depth_m\n2026-11-03,S2,30,200\n", "depth_m is 200; more than 30 isn't believed"),
        ("date,swale,rain_mm,depth_m,level_m\n2026-11-03,S2,30,0.2,107\n", "one of the two"),
        ("date,swale,rain_mm,depth_m\n2026-11-03,S2,30,\n", "one of the two"),
    ],
)
def test_what_can_not_be_right_is_told_in_one_line(tmp_path, text, told):
    """File, line and the way out."""
    with pytest.raises(InputError) as error:
        read(tmp_path, text)
    assert told in str(error.value)
    assert "\n" not in str(error.value)
