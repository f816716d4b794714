"""The stakes in the summary, for machines and for the record."""

from pathlib import Path
from typing import Any

from swalekit.design.plan.design import Design
from swalekit.formats.inputs.input_files import input_file
from swalekit.results.folder.provenance import LEVELLED, meanings
from swalekit.results.plan.summary import summary
from swalekit.results.stakes.table import OFFSET_COLUMNS, STAKE_COLUMNS
from swalekit.staking.stake import Stake, Stakeout


def stake_summary(
    design: Design, stakeout: Stakeout, *, folder: str | Path = ".", levelled: str | Path | None = None
) -> dict[str, Any]:
    """The summary of a design with a part ``stakes``, in JSON types.

    Parameters
    ----------
    design : Design
        The design.
    stakeout : Stakeout
        Its stakes.
    folder : str or Path
        Folder of the results, from which the paths of the inputs are given.
    levelled : str or Path, optional
        File of the points that the design was cut to.
    """
    whole, part, benchmark = summary(design, folder=folder), design.site.brief.stakes, stakeout.benchmark
    stakes = {
        "stakes": len(stakeout.stakes),
        "offset_stakes": sum(len(each.offsets) for each in stakeout.stakes),
        "spacing_m": part.spacing_m,
        "benchmark": None if benchmark is None else {"name": benchmark.name, "level_m": benchmark.level_m},
        "point_order": part.point_order,
        "point_unit": part.point_unit,
        "swales": [_swale([each for each in stakeout.stakes if each.swale == swale.id]) for swale in stakeout.swales],
    }
    columns = {"stakes": meanings(STAKE_COLUMNS), "stake offsets": meanings(OFFSET_COLUMNS)}
    cut_to = [] if levelled is None else [{"key": LEVELLED} | input_file(levelled, folder)]
    return whole | {
        "inputs": [*whole["inputs"], *cut_to],
        "stakes": stakes,
        "columns": whole["columns"] | columns,
    }


def _swale(stakes: list[Stake]) -> dict[str, Any]:
    return {
        "swale": stakes[0].swale,
        "stakes": len(stakes),
        "first": stakes[0].number,
        "last": stakes[-1].number,
        "greatest_position_sigma_m": round(max(each.position_sigma_m for each in stakes), 2),
    }
