"""What is said of a plan."""

from pathlib import Path
from typing import Any

from swalekit.cli.say.console import ROWS_SHOWN, print_lines, print_table, result_console
from swalekit.design.brief.settings import storm_of
from swalekit.design.plan.account_table import account_summary
from swalekit.design.plan.cautions import STANDING_CAUTIONS, cautions_by_name
from swalekit.design.plan.design import Design
from swalekit.design.plan.table import swale_row, totals
from swalekit.design.stages.staged import Staged
from swalekit.reporting.words.account_words import balance_words
from swalekit.reporting.words.plan_words import failure_words
from swalekit.reporting.words.shown import ShownColumn, in_units, listed, shown, table_of

_COLUMNS: tuple[ShownColumn, ...] = (
    ("swale", "swale", "", 0),
    ("level", "level_m", "m", 2),
    ("length", "length_m", "m", 0),
    ("catchment", "catchment_m2", "m2", 0),
    ("runoff", "runoff_m3", "m3", 0),
    ("depth", "depth_m", "m", 2),
    ("stores", "storage_m3", "m3", 0),
    ("holds", "held_storm_mm", "mm", 1),
    ("dug", "dug_m3", "m3", 0),
    ("sill", "sill_length_m", "m", 1),
)


_STAGE_COLUMNS: tuple[ShownColumn, ...] = (
    ("stage", "stage", "", 0),
    ("swales", "built_now", "", 0),
    ("dug", "dug_m3", "m3", 0),
    ("machine", "machine_h", "h", 0),
    ("cost", "cost", "", 0),
    ("kept", "kept", "", 0),
    ("holds", "held_storm_mm", "mm", 1),
    ("longest sill", "sill", "", 0),
)


def print_stages(staged: Staged) -> None:
    """Print a row a season, and what each leaves open until the rest is built.

    Parameters
    ----------
    staged : Staged
        The plan in its seasons.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from swalekit import build_in_stages
    >>> print_stages(build_in_stages(replace(design, site=site.with_values({"stages.count": 2}))))
                   dug  machine              holds
    stage  swales   m³        h  cost  kept     mm  longest sill
    1      S1       74        3     –  35 %   53.6      S1 1.0 m
    2      S2       68        3     –  65 %   51.2      S2 2.5 m
    """
    console, units = result_console(), staged.design.site.brief.site.units
    rows = []
    for stage, figures in zip(staged.stages, staged.rows, strict=True):
        longest = stage.longest_sill
        sill = "–" if longest is None else f"{longest.id} {shown(longest.sill.length_m, 'm', units=units, decimals=1)}"
        kept = f"{100 * stage.interim.kept_share:.0f} %"
        told = {"stage": str(stage.number), "built_now": listed([swale.id for swale in stage.swales])}
        rows.append(figures | told | {"kept": kept, "sill": sill})
    print_table(console, *table_of(rows, _STAGE_COLUMNS, units=units), left=(0, 1), rest_in="stages.csv")
    for stage in staged.stages:
        opens: dict[str, list[str]] = {}
        for caution in stage.opens:
            opens.setdefault(caution.name, []).append(caution.swale)
        named = "; ".join(f"{name}: {listed(swales)}" for name, swales in opens.items())
        if named:
            print_lines(console, f"caution: until the rest is built, stage {stage.number} leaves open: {named}")


def print_plan(design: Design, folder: Path, staged: Staged | None = None) -> None:
    """Print the table of swales, the totals, warnings and cautions in brief.

    Parameters
    ----------
    design : Design
        The plan.
    folder : Path
        Where the results are.
    staged : Staged, optional
        The plan in its seasons.

    Examples
    --------
    >>> print_plan(design, Path("plan"))  # doctest: +ELLIPSIS
            level  length  catchment  runoff  depth  stores  holds  dug  sill
    swale       m       m         m²      m³      m      m³     mm   m³     m
    S1     108.00      88      3,829      87   0.35      96   53.6   74   1.0
    S2     104.00      88      3,604      82   0.35      85   51.2   68   2.5
    2 swales, 176 m: 142 m³ dug, 6 machine hours, 0.6 m³ of stone at sills
    held storm 51.2 mm poured over the ground as built (asked: 50.0 mm), 65 % of the site's runoff kept
    water on the tile: rain 600 m³ = 342 m³ soaked in + 168 m³ held in swales + 0 m³ standing in hollows + 90 m³...
    curve numbers are rough: held storm 36.4 mm on wet ground, 75.8 mm on dry
    caution: catchment cut off: S1 (more water may come than is counted: use a larger tile)
    results in plan
    """
    console, units, account = result_console(), design.site.brief.site.units, account_summary(design)
    rows = [swale_row(swale, design.rates) for swale in design.swales]
    print_table(console, *table_of(rows, _COLUMNS, units=units), rest_in="earthwork.csv")
    figures: dict[str, Any] = totals(design)
    console.print(
        f"{figures['swales']} swales, {shown(figures['length_m'], 'm', units=units)}: "
        f"{shown(figures['dug_m3'], 'm3', units=units)} dug, {figures['machine_h']:,.0f} machine hours"
        + "".join(
            f", {shown(figures[what], unit, units=units, decimals=1)} of {word} at sills"
            for what, unit, word in (("stone_m3", "m3", "stone"), ("grass_m2", "m2", "sod"))
            if figures[what]
        )
        + (f", cost {figures['cost']:,} {design.site.brief.rates.currency}".rstrip() if design.cost is not None else "")
    )
    asked = "asked" if design.site.brief.conditions.sized_for_mm is None else "sized for"
    console.print(
        f"held storm {shown(figures['held_storm_mm'], 'mm', units=units, decimals=1)} "
        f"{'poured over the ground as built ' if account else ''}"
        f"({asked}: {shown(storm_of(design.site).depth_mm, 'mm', units=units, decimals=1)}), "
        f"{100 * figures['kept_share']:.0f} % of the site's runoff kept"
    )
    if account:
        print_lines(console, f"water on the tile: {balance_words(account['design'], units=units, depths=False)}")
    if (asked_m := design.site.brief.levels.spacing_m) and design.spacing and (got_m := design.spacing.mean_m):
        asked, got, *ends = (
            shown(metres, "m", units=units, decimals=1)
            for metres in (asked_m, got_m, design.spacing.spacing_m.min(), design.spacing.spacing_m.max())
        )
        console.print(f"spacing of the lines {got} (asked: {asked}), {' to '.join(ends)} from level to level")
    if design.ground.soil.has_condition:
        wet, dry = (shown(figures[name], "mm", units=units, decimals=1) for name in ("held_wet_mm", "held_dry_mm"))
        console.print(f"curve numbers are rough: held storm {wet} on wet ground, {dry} on dry")
    if staged is not None:
        print_stages(staged)
    print_lines(console, *(f"note: {in_units(warning, units=units)}" for warning in design.warnings))
    for failure in design.failures_shown:
        print_lines(console, failure_words(failure, units=units))
    for name, swales, advice in cautions_by_name(design.cautions):
        which = listed(swales) if len(swales) <= ROWS_SHOWN else f"{len(swales)} of the swales, see earthwork.csv"
        print_lines(console, f"caution: {name}: {which} ({in_units(advice, units=units)})")
    of_place = (caution for caution in design.cautions if not caution.swale and caution not in STANDING_CAUTIONS)
    print_lines(console, *(f"caution: {each.name}: {in_units(each.text, units=units)}" for each in of_place))
    print_lines(console, f"results in {folder}")
