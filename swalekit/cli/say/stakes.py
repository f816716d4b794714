"""What is said of stakes."""

from pathlib import Path

from swalekit.cli.say.console import print_lines, print_table, result_console
from swalekit.design.plan.design import Design
from swalekit.reporting.words.shown import in_units, number, shown, unit_name
from swalekit.staking.stake import Stakeout


def print_stakes(design: Design, stakeout: Stakeout, folder: Path) -> None:
    """Print the stakes of each swale and what the crew must know.

    Parameters
    ----------
    design : Design
        The plan.
    stakeout : Stakeout
        Its stakes.
    folder : Path
        Where the results are.

    Examples
    --------
    >>> print_stakes(design, stakeout, Path("stakes"))
                              standard error
    swale  stakes    numbers      of place m
    S1         13  1001–1013             0.5
    S2         13  2001–2013             0.5
    26 stakes on 2 swales, every 10.0 m and at bends
    results in stakes
    """
    console, units, part = result_console(), design.site.brief.site.units, design.site.brief.stakes
    rows = []
    for swale in stakeout.swales:
        stakes = [stake for stake in stakeout.stakes if stake.swale == swale.id]
        worst = number(max(stake.position_sigma_m for stake in stakes), "m", units=units, decimals=1)
        rows.append((swale.id, str(len(stakes)), f"{stakes[0].number}–{stakes[-1].number}", worst))
    error = f"standard error\nof place {unit_name('m', units=units)}"
    print_table(console, ("swale", "stakes", "numbers", error), rows, rest_in="stakes.csv")
    spacing = shown(part.spacing_m, "m", units=units, decimals=1)
    console.print(f"{len(stakeout.stakes)} stakes on {len(stakeout.swales)} swales, every {spacing} and at bends")
    print_lines(
        console, *(f"note: {in_units(warning, units=units)}" for warning in design.warnings), f"results in {folder}"
    )
