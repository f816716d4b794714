"""Rain from files: atlas tables, daily records, measured storms."""

import numpy as np
import pytest

from swalekit.errors import InputError
from swalekit.formats.inputs.depth_table_csv import read_depth_table
from swalekit.formats.inputs.hyetograph_csv import read_hyetograph
from swalekit.formats.inputs.rain_record import read_daily_record

ATLAS = """\
Point precipitation frequency estimates (inches)
Location name: Dry Creek, Elevation: 1200
Latitude: 32.0 Degree

PRECIPITATION FREQUENCY ESTIMATES
by duration for ARI (years):, 2,10,100
30-min:, 0.5,0.9,1.6
6-hr:, 1.0,1.6,2.5
2-day:, 1.5,2.4,4.0

Date/time (GMT):  Thu Jan  4 2024
"""
DAILY = "date,mm\n2001-01-30,0\n2001-01-31,12.5\n2001-02-01,3\n2001-02-02,\n2001-02-03,7\n"
STORM = "time,rain\n0,1.0\n5,4.0\n10,2.5\n15,0.5\n"


@pytest.fixture
def written(tmp_path):
    """Write text or bytes to a file and give its path."""

    def write(content):
        path = tmp_path / "rain.csv"
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    return write


def changed(text, line, new):
    """Text with one line, counted from 1, put differently."""
    lines = text.splitlines()
    lines[line - 1] = new
    return "\n".join(lines) + "\n"


def test_atlas_table_with_preamble_and_remarks(written):
    """A table as an atlas gives it, in inches, between a preamble and a remark."""
    table = read_depth_table(written(ATLAS), unit="in")
    assert table.durations_h.tolist() == [0.5, 6.0, 48.0]
    assert table.return_periods_y.tolist() == [2.0, 10.0, 100.0]
    assert table.depth_mm == pytest.approx(25.4 * np.array([[0.5, 0.9, 1.6], [1.0, 1.6, 2.5], [1.5, 2.4, 4.0]]))


@pytest.mark.parametrize(
    "text",
    [
        "duration,2,5\n15 min,10.5,14\n1 h,16,22.5\n24-hr,30,41\n",
        "Duration [h],2 yr,5 yr\n0.25,10.5,14\n1,16,22.5\n24,30,41\n",
        "duration_min,2-year,5-year\n15,10.5,14\n60,16,22.5\n1440,30,41\n",
        "\ufeffDauer;2;5\n15 min;10,5;14\n1 h;16;22,5\n1 d;30;41\n",
        "Dauer;2;5\n0,25 h;10,5;14\n1 h;16;22,5\n1 d;30;41\n",
        "# rain\nby duration for AEP:\t1/2\t1/5\n15-min\t10.5\t14\n# a remark\n60-min\t16\t22.5\n1-day\t30\t41\n",
        "duration,2,5,\r\n15min,10.5,14,\r\n1hr,16,22.5,\r\n1 day,30,41,\r\n",
    ],
)
def test_ways_to_write_a_table(written, text):
    """Durations with or without units, years in words or as probabilities, semicolons, tabs, remarks: all one table."""
    table = read_depth_table(written(text), unit="mm")
    assert table.durations_h == pytest.approx([0.25, 1.0, 24.0])
    assert table.return_periods_y.tolist() == [2.0, 5.0]
    assert table.depth_mm.tolist() == [[10.5, 14.0], [16.0, 22.5], [30.0, 41.0]]


@pytest.mark.parametrize(("unit", "factor"), [("mm/h", 1.0), ("in/h", 25.4)])
def test_intensities_become_depths(written, unit, factor):
    """An intensity times its duration is the depth."""
    table = read_depth_table(written("duration,2,5\n30-min,20,30\n2-h,8,12\n"), unit=unit)
    assert table.depth_mm == pytest.approx(factor * np.array([[10.0, 15.0], [16.0, 24.0]]))


@pytest.mark.parametrize(
    ("line", "new", "words"),
    [
        (8, "6-hr:, 1.0,n/a,2.5", r"line 8: 'n/a' in column 3 is not a number"),
        (8, "6-hr:, 1.0,nan,2.5", "line 8: 'nan' in column 3"),
        (8, "6-hr:, 1.0,,2.5", "line 8: '' in column 3"),
        (8, "6-hr:, 1.0,1.6", "line 8: '' in column 4"),
        (8, "6-hr:, 1.0,1.6,2.5,3.0", "line 8: 4 values for 3 return periods"),
        (8, "6-weeks:, 1.0,1.6,2.5", "line 8: '6-weeks:' is no duration"),
        (6, "by duration:, 2,10,often", "line 6: return periods 2, 10, often are not all numbers"),
        (6, "15-min:, 0.3,0.6,1.1", "line 6: '15-min:' is a duration where the return periods should be"),
        (6, "by duration:, 2,100,10", "line 6: return periods must rise, but 100 years comes before 10"),
        (6, "by duration:, 0,10,100", "line 6: return periods must be numbers greater than zero, found 0 years"),
        (8, "6-hr:, 1.0,0.8,2.5", r"line 8: depth falls with return period at 6 h: 25.4 mm at 2 years, 20.32 mm at 10"),
        (8, "6-hr:, 0.4,1.6,2.5", r"line 8: depth falls with duration at 2 years: 12.7 mm in 0.5 h, 10.16 mm in 6 h"),
        (8, "6-hr:, 1.0,-1.6,2.5", r"line 8: depth in 6 h at 10 years is -40.64 mm; it must be .* greater than zero"),
        (8, "6-hr:, 1.0,1e308,2.5", r"line 8: '1e308' in column 3 is too large a number"),
        (8, "6-hr:, 1.0,1_6,2.5", r"line 8: '1_6' in column 3 is not a number"),
        (7, "0 h:, 0.5,0.9,1.6", "line 7: durations must be numbers greater than zero, found 0 h"),
        (9, "2-hr:, 1.5,2.4,4.0", "line 9: durations must rise, but 6 h comes before 2"),
        (9, "360 min:, 1.5,2.4,4.0", "line 9: durations must rise, but 6 h comes before 6"),
    ],
)
def test_bad_table_fails_with_its_line(written, line, new, words):
    """Each fault of a table is named with its file and its line."""
    with pytest.raises(InputError, match=f"^depth table '.*rain.csv', .*{words}"):
        read_depth_table(written(changed(ATLAS, line, new)), unit="in")


def test_table_without_durations_fails(written):
    """A file that holds no table says what one looks like; an unknown unit is refused."""
    with pytest.raises(InputError, match="holds no table: after a header row"):
        read_depth_table(written("a,b\n1,2\n3,4\n"), unit="mm")
    with pytest.raises(InputError, match="unit is 'cm'"):
        read_depth_table(written(ATLAS), unit="cm")


@pytest.mark.parametrize(
    ("content", "unit", "factor"),
    [
        (DAILY, "mm", 1.0),
        ("\ufeff" + DAILY.removeprefix("date,mm\n"), "in", 25.4),
        ("\ufeff" + DAILY.replace(",", ";").replace(".", ","), "mm", 1.0),
        ("# gauge 7\n\n" + DAILY.replace("\n", "\r\n"), "mm", 1.0),
    ],
)
def test_daily_record(written, content, unit, factor):
    """With or without header, byte order mark, semicolons or remarks: the same record; an empty depth is a gap."""
    record = read_daily_record(written(content), unit=unit)
    assert record.dates.astype(str).tolist() == ["2001-01-30", "2001-01-31", "2001-02-01", "2001-02-03"]
    assert record.depth_mm == pytest.approx(factor * np.array([0.0, 12.5, 3.0, 7.0]))
    assert record.missing_days == {2001: 361}


@pytest.mark.parametrize(
    ("line", "new", "words"),
    [
        (4, "2001-01-31,3", "line 4: day 2001-01-31 is given twice"),
        (4, "2001-01-29,3", "line 4: day 2001-01-29 comes after 2001-01-31; sort"),
        (4, "2001-02-01,-9999", "line 4: rain of 2001-02-01 is -9999 mm; it can't be negative"),
        (4, "2001-02-01,2001", "line 4: rain of 2001-02-01 is 2001 mm, and more than 2000 mm never fell in a day"),
        (4, "2001-02-01,1e308", "line 4: '1e308' in column 2 is too large a number"),
        (4, "2001-02-01,trace", "line 4: 'trace' in column 2 is not a number; write 0 for no rain or a trace"),
        (2, "2001-01-30,T", "line 2: 'T' in column 2 is not a number"),
        (4, "01/02/2001,3", "line 4: '01/02/2001' is not a date; write one of the calendar, like 2001-12-31"),
        (4, "2001-02-30,3", "line 4: '2001-02-30' is not a date"),
        (4, "2001-02-01,3,5", "line 4: 3 cells where a date and a depth are expected"),
        (4, '2001-02-01,"3', "up to line 6: .*quotation mark"),
    ],
)
def test_bad_daily_record_fails_with_its_line(written, line, new, words):
    """Each fault of a record is named with its line, in one line."""
    with pytest.raises(InputError, match=words) as error:
        read_daily_record(written(changed(DAILY, line, new)))
    assert "\n" not in str(error.value)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        ("date,mm\n2001-01-01,0\n2001-01-02,0\n", "rain.csv': .* 2 days holds no rain at all"),
        ("date,mm\n2001-01-01,0\n\0\n", "rain.csv' is not plain text .*NUL"),
        ("date,mm\n", "no row with a date and a depth"),
        ("\n\n", "holds no rows"),
        ("", r"is empty \(0 bytes\)"),
        (b"\xff\xfed\x00a\x00", "not plain text in UTF-8"),
    ],
)
def test_record_without_rain_fails(written, content, words):
    """A record that holds nothing to go by is refused."""
    with pytest.raises(InputError, match=words):
        read_daily_record(written(content))


@pytest.mark.parametrize(
    ("content", "time", "values"),
    [
        (STORM, "min", "increment"),
        ("h;mm\n0,08;1,0\n0,17;4,0\n0,25;2,5\n0,33;0,5\n", "h", "increment"),
        ("time,sum\n0,0\n5,1\n10,5\n15,7.5\n20,8\n", "min", "cumulative"),
        ("5,1\n10,5\n15,7.5\n20,8\n", "min", "cumulative"),
        (
            "2001-07-01T23:50,0\n2001-07-01T23:55,1\n2001-07-02T00:00,5\n2001-07-02 00:05,7.5\n2001-07-02 00:10,8\n",
            "timestamp",
            "cumulative",
        ),
        (
            "2001-07-01 23:50,1\n2001-07-01 23:55,4\n2001-07-02 00:00,2.5\n2001-07-02 00:05,0.5\n",
            "timestamp",
            "increment",
        ),
    ],
)
def test_ways_to_write_a_storm(written, content, time, values):
    """Minutes, hours or timestamps, increments or sums: all one storm."""
    storm = read_hyetograph(written(content), time=time, values=values)
    assert storm.time_h == pytest.approx(np.arange(5) / 12.0, abs=1e-9)
    assert storm.cumulative_mm == pytest.approx([0.0, 1.0, 5.0, 7.5, 8.0])


def test_sums_at_uneven_times(written):
    """Sums may come at any time, in inches too."""
    storm = read_hyetograph(written("0,0\n7,0.5\n60,1.0\n"), time="min", values="cumulative", unit="in")
    assert storm.time_h == pytest.approx([0.0, 7.0 / 60.0, 1.0])
    assert storm.cumulative_mm == pytest.approx([0.0, 12.7, 25.4])


@pytest.mark.parametrize(
    ("line", "new", "values", "words"),
    [
        (5, "20,0.5", "increment", "line 5: 10 min since the row before where the others are 5 min apart"),
        (4, "10,-2.5", "increment", "line 4: -2.5 mm since the time before"),
        (2, "0,-1", "increment", "line 2: -1 mm; rain can't be negative"),
        (4, "5,2.5", "increment", "line 4: time does not rise"),
        (4, "10,wet", "increment", "line 4: 'wet' in column 2"),
        (2, "0,wet", "increment", "line 2: 'wet' in column 2"),
        (4, "10", "increment", "line 4: 1 cells where a time and a depth"),
        (2, "0,1", "cumulative", "line 2: 1 mm at the start"),
        (2, "-5,0", "cumulative", "line 2: time is -0.08333 h"),
        (2, "1,0", "cumulative", "line 4: -1.5 mm since the time before"),
    ],
)
def test_bad_storm_fails_with_its_line(written, line, new, values, words):
    """Each fault of a storm is named with its line."""
    with pytest.raises(InputError, match=words):
        read_hyetograph(written(changed(STORM, line, new)), time="min", values=values)


@pytest.mark.parametrize(
    ("content", "choices", "words"),
    [
        (STORM, {"time": "s", "values": "increment"}, "time is 's'"),
        (STORM, {"time": "min", "values": "sum"}, "values is 'sum'"),
        ("time,mm\n0,1\n", {"time": "min", "values": "increment"}, r"holds 1 row\(s\) of rain"),
        ("0,0\n5,0\n", {"time": "min", "values": "increment"}, "rain.csv': storm_depth_mm is 0"),
        ("0,0\n5,0\n", {"time": "min", "values": "cumulative"}, "rain.csv': storm_depth_mm is 0"),
        ("2001-07-01 10:00,0\n10:05,1\n", {"time": "timestamp", "values": "cumulative"}, "'10:05' is not a date"),
        (
            "2001-07-01T10:00,0\n2001-07-01T10:05Z,1\n",
            {"time": "timestamp", "values": "cumulative"},
            "line 2: .* having a time zone",
        ),
    ],
)
def test_storm_read_the_wrong_way_fails(written, content, choices, words):
    """What is said about the file must be known and fit it."""
    with pytest.raises(InputError, match=words):
        read_hyetograph(written(content), **choices)
