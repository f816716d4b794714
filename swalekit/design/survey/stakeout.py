"""The stakes of a design, by the rules of its brief."""

from swalekit.design.brief.brief import StakesPart
from swalekit.design.brief.settings import of_part
from swalekit.design.plan.design import Design
from swalekit.staking.places import StakeRules
from swalekit.staking.stake import Benchmark, Stakeout
from swalekit.staking.stake_out import stake_out
from swalekit.staking.staked_swale import StakedSwale


def stake_design(design: Design) -> Stakeout:
    """Stake every swale of a design as the brief's part ``stakes`` says.

    Parameters
    ----------
    design : Design
        The design.

    Returns
    -------
    Stakeout
        Stakes by swale, from the top of the site downward; none without swales.

    Raises
    ------
    InputError
        If a line has more stakes than there are point numbers.
    """
    part = design.site.brief.stakes
    swales = [
        StakedSwale(swale.id, number, swale.line, swale.sized.shape, swale.sill.chainage_m, swale.sill.length_m)
        for number, swale in enumerate(design.swales, start=1)
    ]
    rules = of_part(StakeRules, part)
    return stake_out(swales, design.ground.terrain, rules=rules, benchmark=benchmark_of(part))


def benchmark_of(part: StakesPart) -> Benchmark | None:
    """The brief's benchmark."""
    if part.benchmark is None or part.benchmark_m is None:
        return None
    return Benchmark(part.benchmark, part.benchmark_m)
