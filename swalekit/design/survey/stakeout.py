"""The stakes of a design, by the rules of its brief."""

from dataclasses import replace

from swalekit.design.brief.brief import StakesPart
from swalekit.design.brief.decided_lines import line_number
from swalekit.design.brief.issue import issue_of
from swalekit.design.brief.settings import of_part
from swalekit.design.plan.design import Design
from swalekit.section.laid_swale import LaidSwale
from swalekit.staking.places import StakeRules
from swalekit.staking.stake import MOST_SWALES, Benchmark, Stakeout
from swalekit.staking.stake_out import stake_out


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

    Examples
    --------
    >>> stake_design(design).stakes[0].number
    1001
    """
    part = design.site.brief.stakes
    rules = of_part(StakeRules, part)
    staked = stake_out(laid_swales(design), design.ground.terrain, rules=rules, benchmark=_benchmark_of(part))
    return replace(staked, site=design.site.brief.site.name, issue=issue_of(design.site))


def laid_swales(design: Design) -> tuple[LaidSwale, ...]:
    """The swales of a design as they are staked and as a survey is checked against them.

    Parameters
    ----------
    design : Design
        The design.

    Returns
    -------
    tuple of LaidSwale
        One a swale, from the top of the site downward. S7 has number 7, so that its stakes keep their numbers when
        other lines come and go; one that is called otherwise has one of those left from 999 down.

    Examples
    --------
    >>> [swale.id for swale in laid_swales(design)]
    ['S1', 'S2']
    """
    numbers = [line_number(swale.id) or 0 for swale in design.swales]
    left = iter(sorted(set(range(1, MOST_SWALES + 1)).difference(numbers), reverse=True))
    numbers = [number if 0 < number <= MOST_SWALES else next(left, number) for number in numbers]
    return tuple(
        LaidSwale(
            swale.id,
            number,
            swale.line,
            swale.sized.shape,
            swale.sill.chainage_m,
            swale.sill.length_m,
            stage=swale.own.stage if swale.stage is None else swale.stage,
            apron=swale.sill.apron,
        )
        for swale, number in zip(design.swales, numbers, strict=True)
    )


def _benchmark_of(part: StakesPart) -> Benchmark | None:
    """The brief's benchmark."""
    if part.benchmark is None or part.benchmark_m is None:
        return None
    return Benchmark(part.benchmark, part.benchmark_m)
