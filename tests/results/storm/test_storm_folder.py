"""The folder of a storm analysis says what it was made from, as every other result does."""

import csv
import json
from datetime import date, timedelta

from swalekit.formats.inputs.file_hash import sha256
from swalekit.formats.inputs.site import read_site
from swalekit.results.storm.write import write_storm

BRIEF = """[terrain]
file = "hill.tif"
[storm]
record = "rain.csv"
record_unit = "mm"
return_period_y = 10.0
check_return_period_y = 50.0
[soil]
curve_number = 80
[levels]
interval_m = 2.0
"""


def test_the_summary_names_brief_inputs_versions_and_columns(tmp_path):
    """The record by its hash; a unit and a meaning for each column of the table."""
    days = [date(1990, 1, 1) + timedelta(days=day) for day in range(20 * 365 + 5)]
    rain = [(day, 20.0 + 7 * day.year % 31 if (day.month, day.day) == (11, 3) else 0.0) for day in days]
    with (tmp_path / "rain.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([("date", "depth"), *rain])
    (tmp_path / "site.toml").write_text(BRIEF, encoding="utf-8")
    write_storm(read_site(tmp_path / "site.toml"), tmp_path / "storm")
    summary = json.loads((tmp_path / "storm" / "summary.json").read_text(encoding="utf-8"))
    [record] = [given for given in summary["inputs"] if given["path"].endswith("rain.csv")]
    assert record["sha256"] == sha256(tmp_path / "rain.csv")
    assert summary["brief"]["storm"]["return_period_y"] == 10.0
    assert "swalekit" in summary["versions"]
    [*rows] = summary["by_return_period"]
    assert set(summary["columns"]["by_return_period"]) == set(rows[0])
