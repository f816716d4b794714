"""The table of stakes as CSV, for the office and the crew's sheets."""

import csv
from pathlib import Path

from swalekit.formats.spreadsheet_text import shielded_row
from swalekit.results.stakes.table import TABLE_COLUMNS, table_rows
from swalekit.staking.stake import Stakeout


def write_stakes(stakeout: Stakeout, path: str | Path) -> None:
    """Write a row a stake with its offset stakes, all in metres.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes.
    path : str or Path
        File to write: UTF-8 with a byte order mark, without which spreadsheets garble names in other scripts; decimal
        points, comma separated. Names that a spreadsheet would run as a formula get an apostrophe in front.
    """
    with Path(path).open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.DictWriter(file, [column.name for column in TABLE_COLUMNS], lineterminator="\n")
        writer.writeheader()
        writer.writerows(map(shielded_row, table_rows(stakeout)))
