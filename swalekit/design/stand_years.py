"""The water of the planted ground year by year, as its canopies grow."""

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from swalekit.design.design import Design
from swalekit.design.grow_inputs import stand_of_cover
from swalekit.design.growth import StandYear, SwaleGrowth
from swalekit.design.tree_water import Conditions, ditch_of
from swalekit.planting.crop_coefficients import growing_days
from swalekit.planting.months import MonthTable, month_table
from swalekit.planting.stand import Stand
from swalekit.planting.water_budget import water_budget

_DRINKING = ("pioneer", "fruit")
"""Roles whose canopies count; ground cover lives on the rain of the berm."""


_LEAST_COVER = 0.05
"""Below it the coefficient of bare ground outweighs that of the plants, which are watered by hand then."""


def stand_years(
    design: Design,
    shared: Conditions,
    swales: Sequence[SwaleGrowth],
    canopy_m2: Mapping[str, NDArray[np.float64]],
) -> tuple[StandYear, ...]:
    """What the stand of each year wants and gets, under the whole record of weather.

    Parameters
    ----------
    design : Design
        The swales.
    shared : Conditions
        Weather, species and soil.
    swales : sequence of SwaleGrowth
        What each carries, as in the design.
    canopy_m2 : mapping of str to ndarray of float64, shape (years,)
        Canopy of each role at the end of each year [m²].

    Returns
    -------
    tuple of StandYear
        Years in order, but for those whose canopies cover next to nothing.

    Notes
    -----
    Canopies of pioneers and trees together cover the ground; both are taken to use what the trees do for as much
    canopy, since nothing is published for most pioneers. Roots are taken as grown, so that the first years look better
    than they are: young plants are watered by hand (`first_water_m3`).
    """
    part = design.site.brief.planting
    planted_m2 = sum(each.water.budget.planted_m2 for each in swales if each.water is not None)
    if not planted_m2:
        return ()
    covers = sum(canopy_m2.get(role, np.zeros(part.years)) for role in _DRINKING) / planted_m2
    days = growing_days(shared.weather, shared.reference.air)
    return tuple(
        _stand_year(year, stand_of_cover(shared.chosen, days, part, cover=min(cover, 1.0)), design, shared, swales)
        for year, cover in enumerate(np.asarray(covers).tolist(), start=part.planting_year or 1)
        if cover >= _LEAST_COVER
    )


def _stand_year(
    year: int, stand: Stand, design: Design, shared: Conditions, swales: Sequence[SwaleGrowth]
) -> StandYear:
    part, tables = design.site.brief.planting, list[tuple[float, MonthTable]]()
    for swale, grown in zip(design.swales, swales, strict=True):
        if grown.water is not None:
            water, planted_m2 = grown.water.budget.water, grown.water.budget.planted_m2
            given = {"planted_m2": planted_m2, "irrigation_mm_month": part.irrigation_mm_month}
            budget = water_budget(water, stand, shared.zone, ditch_of(design, swale), **given)
            tables.append((planted_m2, month_table(budget, least_ratio=part.least_ratio)))
    years = tables[0][1].years
    wanted, got = (
        sum(m2 / 1000.0 * np.bincount(each.year - years[0], getattr(each, name)) for m2, each in tables)
        for name in ("demand_mm", "transpiration_mm")
    )
    return StandYear(
        year=year,
        cover=stand.cover,
        want_m3=float(np.mean(wanted)),
        met=float(np.sum(got) / np.sum(wanted)),
        short_share=float(np.mean(got < part.least_ratio * wanted)),
    )
