"""The figures of a design by column, rounded once, so that every output says the same."""

from math import isfinite

from swalekit.design.brief.settings import soil_of
from swalekit.design.layout.sized_layout import SizedLayout
from swalekit.design.plan.columns import SWALE_COLUMNS, TOTAL_COLUMNS, Column
from swalekit.design.plan.design import Swale

Entry = float | int | str | None
"""What stands in a cell of a table."""


def swale_row(swale: Swale) -> dict[str, Entry]:
    """Figures of one swale by the names of `SWALE_COLUMNS`."""
    shape, quantities, failure = swale.sized.shape, swale.quantities, swale.failure
    figures: dict[str, Entry] = {
        "swale": swale.id,
        "level_m": swale.line.level_m,
        "length_m": swale.line.length_m,
        "catchment_m2": swale.catchment_m2,
        "runoff_m3": swale.runoff_m3,
        "spill_in_m3": swale.spill_in_m3,
        "depth_m": shape.depth_m,
        "crest_m": shape.crest_level_m,
        "sill_m": shape.sill_level_m,
        "water_depth_m": swale.water_depth_m,
        "storage_m3": swale.storage_m3,
        "held_storm_mm": swale.held_storm_mm,
        "spill_m3": swale.spill_m3,
        "sill_length_m": swale.sill.length_m,
        "sill_at_m": swale.sill.chainage_m,
        "check_flow_m3s": swale.sill.flow_m3s,
        "peak_level_m": swale.routed.peak_level_m,
        "freeboard_left_m": swale.routed.freeboard_m,
        "outlet": swale.routed.outlet.cure or "bears it",
        "soaked_m3": swale.routed.soaked_m3,
        "empty_h": _finite(swale.routed.empty_after_h),
        "spills_to": swale.sill.spills_to,
        "failure_overtops": None if failure is None else ", ".join(failure.overtops),
        "failure_left_m3": None if failure is None else failure.extra_left_m3,
        "dug_m3": quantities.dug_m3,
        "berm_m3": quantities.berm_m3,
        "loose_m3": quantities.loose_m3,
        "strip_m2": quantities.strip_m2,
        "topsoil_m3": quantities.topsoil_m3,
        "machine_h": swale.machine_h,
        "cost": swale.cost,
        "mean_slope": swale.line.mean_slope,
        "greatest_slope": float(swale.line.cross_slope.max()),
        "berm_height_m": swale.berm_height_m,
        "position_sigma_m": swale.position_sigma_m,
        "cautions": "; ".join(caution.name for caution in swale.cautions),
    }
    return rounded(figures, SWALE_COLUMNS)


def totals(layout: SizedLayout) -> dict[str, Entry]:
    """Totals by the names of `TOTAL_COLUMNS`: sums of the unrounded figures, then rounded."""
    swales, banded = layout.swales, soil_of(layout.site).has_condition
    figures: dict[str, Entry] = {
        "swales": len(swales),
        "length_m": sum(each.line.length_m for each in swales),
        "catchment_m2": sum(each.catchment_m2 for each in swales),
        "runoff_m3": sum(each.runoff_m3 for each in swales),
        "storage_m3": sum(each.storage_m3 for each in swales),
        "held_m3": sum(each.held_m3 for each in swales),
        "held_storm_mm": layout.held_storm_mm,
        "held_dry_mm": layout.held_dry_mm if banded else None,
        "held_wet_mm": layout.held_wet_mm if banded else None,
        "spill_m3": layout.left_swales_m3,
        "site_runoff_m3": layout.site_runoff_m3,
        "kept_share": layout.kept_m3 / layout.site_runoff_m3 if layout.site_runoff_m3 > 0 else 1.0,
        "dug_m3": sum(each.quantities.dug_m3 for each in swales),
        "berm_m3": sum(each.quantities.berm_m3 for each in swales),
        "loose_m3": sum(each.quantities.loose_m3 for each in swales),
        "strip_m2": sum(each.quantities.strip_m2 for each in swales),
        "topsoil_m3": sum(each.quantities.topsoil_m3 for each in swales),
        "machine_h": sum(each.machine_h for each in swales),
        "cost": layout.cost,
    }
    return rounded(figures, TOTAL_COLUMNS)


def _finite(hours: float | None) -> float | None:
    return hours if hours is not None and isfinite(hours) else None


def rounded(figures: dict[str, Entry], columns: tuple[Column, ...]) -> dict[str, Entry]:
    """Figures in the order and with the decimals of their columns."""
    row: dict[str, Entry] = {}
    for column in columns:
        value = figures[column.name]
        if isinstance(value, float):
            value = round(float(value), column.decimals) + 0.0
            value = int(value) if column.decimals == 0 else value
        row[column.name] = value
    return row
