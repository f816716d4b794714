"""The water of the site through the design storm as CSV."""

import csv
from pathlib import Path

from swalekit.hydrology.routing.storm_outcome import StormOutcome

COLUMNS = ("time_h", "brought_m3", "held_m3", "soaked_m3", "left_m3", "under_way_m3")


def write_water(outcome: StormOutcome, path: str | Path) -> None:
    """Write a row a step: water brought, held, soaked away, gone and under way since the start of the storm [m³].

    Parameters
    ----------
    outcome : StormOutcome
        A routed storm.
    path : str or Path
        File to write, UTF-8, decimal points, comma separated.
    """
    series = (
        outcome.time_h,
        outcome.brought_m3,
        outcome.held_m3,
        outcome.soaked_total_m3,
        outcome.left_m3,
        outcome.under_way_m3,
    )
    with Path(path).open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(COLUMNS)
        writer.writerows(
            [f"{time:.4f}", *(f"{value:.3f}" for value in rest)] for time, *rest in zip(*series, strict=True)
        )
