"""Species of the user's own."""

from pathlib import Path

from swalekit.formats.table import named, read_rows
from swalekit.planting.plants.species import Species, species_from_rows


def read_species(path: str | Path) -> dict[str, Species]:
    """Read a species a row.

    Parameters
    ----------
    path : str or Path
        Delimited text whose header names the columns of `species_from_rows`, in any order; it says which may be left
        out.

    Returns
    -------
    dict of str to Species
        By name, in the order of the rows.

    Raises
    ------
    InputError
        If a column is missing or a row can't be right, naming the row.
    """
    head, *rows = read_rows(path, what="species")
    names = [cell.lower() for cell in head.cells]
    if not rows or "name" not in names:
        head.refuse(f"{len(rows)} rows under this header; give a column called name and a row for each species")
    for row in rows:
        if len(row.cells) > len(names):
            row.refuse(f"{len(row.cells)} cells under {len(names)} heads; put quotation marks around cells with commas")
    with named(head.file):
        return species_from_rows(
            dict(zip(names, (*row.cells, *[""] * (len(names) - len(row.cells))), strict=True)) for row in rows
        )
