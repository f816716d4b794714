"""Groups of plants that a swale is asked to carry, from those that bear to those that merely hold the ground."""

from dataclasses import dataclass, replace

from swalekit._one_line import one_line
from swalekit.design.brief.brief import Brief
from swalekit.design.growth.chosen_species import Chosen, root_zone_of
from swalekit.planting.water.root_zone import RootZone

FRUIT, HARDY, PIONEER, COVER = "fruit tree", "hardy tree", "pioneer", "ground cover"
_HARDY_WATER = ("very low", "low")


@one_line("name", "least_ratio", "zone")
@dataclass(frozen=True, eq=False)
class PlantGroup:
    """Plants that are carried or not as one.

    Parameters
    ----------
    name : str
        ``fruit tree``; ``hardy tree``, those of them that ask for little and live on without bearing; ``pioneer``,
        where no tree is carried; ``ground cover``, where nothing else is.
    chosen : Chosen
        Its plants as the sheltered ones, with those that nurse them.
    zone : RootZone
        The soil that its roots fill.
    least_ratio : float
        Share of a year's full transpiration below which they suffer [-].
    """

    name: str
    chosen: Chosen
    zone: RootZone
    least_ratio: float

    @property
    def role(self) -> str:
        """Role of its species."""
        return self.chosen.sheltered[0].role


def plant_groups(chosen: Chosen, brief: Brief) -> tuple[PlantGroup, ...]:
    """Groups in the order in which a swale is asked to carry them.

    Parameters
    ----------
    chosen : Chosen
        The species of the brief.
    brief : Brief
        Least share of the want of each, and the soil.

    Returns
    -------
    tuple of PlantGroup
        Fruit trees; the hardy ones among them, pioneers and low plants of the berm, if any.

    Notes
    -----
    No group that comes later asks for a greater share than one before it.

    Examples
    --------
    >>> [(group.name, group.least_ratio) for group in plant_groups(growth.chosen, site.brief)]
    [('fruit tree', 0.3), ('hardy tree', 0.2), ('pioneer', 0.15), ('ground cover', 0.1)]
    """
    part = brief.planting
    kinds = {FRUIT: chosen, HARDY: _hardy_of(chosen), PIONEER: _pioneers_of(chosen), COVER: low_plants_of(chosen)}
    groups: list[PlantGroup] = []
    for name, kind in kinds.items():
        if kind.sheltered:
            asked = part.least_ratio if name == FRUIT else part.least_ratio_of(name)
            least = min([asked, *(group.least_ratio for group in groups)])
            groups.append(PlantGroup(name, kind, root_zone_of(kind, brief), least))
    return tuple(groups)


def living_on(group: PlantGroup, rain_mm: float, brief: Brief) -> PlantGroup | None:
    """Those of a group that are known to live on so little rain, whatever share of their full want that is.

    Parameters
    ----------
    group : PlantGroup
        Trees or pioneers.
    rain_mm : float
        Rain of a mean year [mm].
    brief : Brief
        The soil.

    Returns
    -------
    PlantGroup or None
        Only species whose least rain is published and no more than that; None where there is none.

    Examples
    --------
    >>> from swalekit.design.growth.plant_groups import plant_groups
    >>> hardy = plant_groups(growth.chosen, site.brief)[1]
    >>> living_on(hardy, 250.0, site.brief).chosen.sheltered[0].name, living_on(hardy, 150.0, site.brief)
    ('olive', None)
    """
    chosen = group.chosen
    known = [species.stands("rain") for species in chosen.sheltered]
    kept = [
        place
        for place, limit in enumerate(known)
        if limit is not None and limit.least is not None and limit.least <= rain_mm
    ]
    if not kept:
        return None
    living = replace(
        chosen,
        pioneers=(),
        pioneer_crops=(),
        sheltered=tuple(chosen.sheltered[place] for place in kept),
        crops=tuple(chosen.crops[place] for place in kept),
    )
    return replace(group, chosen=living, zone=root_zone_of(living, brief))


def _hardy_of(chosen: Chosen) -> Chosen:
    """The trees that ask for little once established."""
    hardy = [place for place, tree in enumerate(chosen.sheltered) if tree.water_group in _HARDY_WATER]
    return replace(
        chosen,
        sheltered=tuple(chosen.sheltered[place] for place in hardy),
        crops=tuple(chosen.crops[place] for place in hardy),
    )


def low_plants_of(chosen: Chosen) -> Chosen:
    """Low plants of the berm in the place of trees, nursed by none.

    Parameters
    ----------
    chosen : Chosen
        The species of the brief.

    Returns
    -------
    Chosen
        Those of the berm.

    Examples
    --------
    >>> [species.name for species in low_plants_of(growth.chosen).sheltered]
    ['rosemary']
    """
    return replace(chosen, pioneers=(), pioneer_crops=(), sheltered=chosen.ground_cover, crops=chosen.cover_crops)


def _pioneers_of(chosen: Chosen) -> Chosen:
    """Pioneers in the place of trees, nursed by none."""
    return replace(chosen, pioneers=(), pioneer_crops=(), sheltered=chosen.pioneers, crops=chosen.pioneer_crops)
