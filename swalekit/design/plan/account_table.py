"""The table of the water account: by swale what the pour gave beside what the sizing said, and the tile's sum."""

from collections.abc import Sequence
from typing import Any

from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.design.plan.design import Design, Swale
from swalekit.design.plan.storm_run import OFF_THE_TILE
from swalekit.verification.water_account import SwaleWater, WaterAccount

HELD_IN_HOLLOW = "a hollow"
"""Where the overflow of a swale goes if a hollow of the ground takes it."""

SAME_SHARE = 0.03
SAME_LEVEL_M = 0.02
"""Figures of the pour and of the sizing that differ by no more are the same: our choice."""

ACCOUNT_COLUMNS: tuple[Column, ...] = (
    Column("swale", "", "lasting name of the swale; 'tile' for the whole of it", of="id"),
    Column("rain_m3", "m3", "rain of the design storm on the known ground of the tile", 3),
    Column("soaked_m3", "m3", "of it, what soaks in where it falls", 3),
    Column("arriving_m3", "m3", "water that reaches the swale, overflow of others included", 3),
    Column("held_m3", "m3", "of it, what stays; for the tile what stands in swales and hollows", 3),
    Column("gone_m3", "m3", "of it, what spills from the swale; for the tile what leaves it", 3),
    Column("check_gone_m3", "m3", "the same in the check storm, onto empty ditches", 3),
    Column("storage_m3", "m3", "what it holds below its first spill", 2),
    Column("first_spill_m", "m", "level at which water first leaves it", 3),
    Column("first_spill_x", "m", "easting of that place", 2),
    Column("first_spill_y", "m", "northing of that place", 2),
    Column("on_sill", "", "whether that is on its sill"),
    Column("spills_to", "", "what its overflow reaches first"),
    Column("held_storm_mm", "mm", "deepest storm of which none leaves it"),
    Column("catchment_m2", "m2", "ground that drains to it, its own works included", 0),
    Column("sized_arriving_m3", "m3", "the same water by the sizing", 3),
    Column("sized_storage_m3", "m3", "the same storage by its sections", 2),
    Column("sized_sill_m", "m", "level of its sill as designed", 3),
    Column("sized_storm_mm", "mm", "the same storm by the sizing"),
    Column("differs", "", "where both differ by more than 3 % or 2 cm, or water leaves elsewhere than by a sill"),
)


def differences(swale: Swale) -> tuple[str, ...]:
    """In words, where the pour over the ground as built differs from the sizing of a swale.

    Parameters
    ----------
    swale : Swale
        The swale with what was poured.

    Returns
    -------
    tuple of str
        None of them where both agree within 3 % or 2 cm.

    Examples
    --------
    >>> differences(design.swales[0])
    ()
    """
    poured = swale.poured
    if poured is None:
        return ()
    told = []
    for what, found, said in (
        ("gets", poured.arriving_m3, swale.runoff_m3 + swale.spill_in_m3),
        ("stores", poured.storage_m3, swale.storage_m3),
    ):
        if abs(found - said) > SAME_SHARE * said:
            told.append(f"{what} {found:.1f} m³, sized for {said:.1f} m³")
    if poured.first_spill_level_m is None:
        return (*told, "has no pond")
    above_m = poured.first_spill_level_m - swale.sill.level_m
    if abs(above_m) > SAME_LEVEL_M:
        told.append(f"first spills {abs(above_m):.2f} m {'above' if above_m > 0 else 'below'} its sill")
    if not poured.on_sill:
        told.append("first spills beside its sill")
    return tuple(told)


def account_rows(design: Design) -> list[dict[str, Entry]]:
    """Rows of the water account: the swales, then the tile.

    Parameters
    ----------
    design : Design
        The design.

    Returns
    -------
    list of dict of str to Entry
        By the names of `ACCOUNT_COLUMNS`; none without an account.

    Examples
    --------
    >>> rows = account_rows(design)
    >>> tile = rows[-1]
    >>> round(tile["rain_m3"] - tile["soaked_m3"] - tile["held_m3"] - tile["gone_m3"], 3)
    0.0
    """
    if design.account is None or design.check_account is None:
        return []
    pairs, names = zip(design.swales, design.check_account.swales, strict=True), [swale.id for swale in design.swales]
    rows = [_swale_row(swale, check, names) for swale, check in pairs]
    return [*rows, _tile_row(design.account, design.check_account)]


def _swale_row(swale: Swale, check: SwaleWater, swales: Sequence[str]) -> dict[str, Entry]:
    poured = swale.poured
    assert poured is not None
    x, y = poured.first_spill_xy or (None, None)
    figures: dict[str, Any] = {
        "rain_m3": None,
        "soaked_m3": None,
        "arriving_m3": poured.arriving_m3,
        "held_m3": poured.held_m3,
        "gone_m3": poured.spilled_m3,
        "check_gone_m3": check.spilled_m3,
        "storage_m3": poured.storage_m3,
        "first_spill_m": poured.first_spill_level_m,
        "first_spill_x": x,
        "first_spill_y": y,
        "on_sill": "yes" if poured.on_sill else "no",
        "spills_to": receiver(poured.spills_to, swales),
        "catchment_m2": poured.catchment_m2 + poured.strip_m2,
        "sized_arriving_m3": swale.runoff_m3 + swale.spill_in_m3,
        "sized_storage_m3": swale.storage_m3,
        "sized_sill_m": swale.sill.level_m,
        "differs": "; ".join(differences(swale)),
    }
    return row_of(swale, ACCOUNT_COLUMNS, **figures)


def receiver(number: int, swales: Sequence[str]) -> str:
    """Name of what overflow reaches, by its number in the account.

    Parameters
    ----------
    number : int
        Place of a swale from 1, 0 off the tile, -1 a hollow of the ground.
    swales : sequence of str
        Names of the swales.

    Returns
    -------
    str

    Examples
    --------
    >>> [receiver(number, ["S1", "S7"]) for number in (2, 0, -1)]
    ['S7', 'off the tile', 'a hollow']
    """
    return swales[number - 1] if number > 0 else (OFF_THE_TILE if number == 0 else HELD_IN_HOLLOW)


def _tile_row(account: WaterAccount, check: WaterAccount) -> dict[str, Entry]:
    """The whole tile; what stands in swales and hollows together is what is left of the rain, to the last digit."""
    figures = {
        "swale": "tile",
        "rain_m3": account.rain_m3,
        "soaked_m3": account.soaked_m3,
        "held_m3": account.swales_m3 + account.hollows_m3,
        "gone_m3": account.left_m3,
        "check_gone_m3": check.left_m3,
    }
    return {column.name: column.rounded(figures.get(column.name)) for column in ACCOUNT_COLUMNS}


def account_summary(design: Design) -> dict[str, Any] | None:
    """The account as the summary tells it.

    Parameters
    ----------
    design : Design
        The design.

    Returns
    -------
    dict or None
        How the held storm was found, where the water of the design storm and of the check storm is, and the rows of
        the swales; None without swales.

    Examples
    --------
    >>> told = account_summary(design)
    >>> told["held_storm"], told["design"]["residual_m3"], [row["swale"] for row in told["swales"]]
    ('poured', 0.0, ['S1', 'S2'])
    """
    if design.account is None or design.check_account is None:
        return None
    return {
        "held_storm": "poured",
        "design": _balance(design.account),
        "check": _balance(design.check_account),
        "swales": account_rows(design)[:-1],
    }


def _balance(account: WaterAccount) -> dict[str, float]:
    """Where the water of a storm is."""
    return {
        "storm_mm": account.depth_mm,
        "rain_m3": round(account.rain_m3, 3),
        "soaked_m3": round(account.soaked_m3, 3),
        "swales_m3": round(account.swales_m3, 3),
        "hollows_m3": round(account.hollows_m3, 3),
        "gone_m3": round(account.left_m3, 3),
        "residual_m3": round(account.residual_m3, 6) + 0.0,
    }
