"""The species of a planting as the brief names them, and the stand and the root zone that their trees make."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np

from swalekit._one_line import one_line
from swalekit.design.brief.brief import Brief
from swalekit.design.brief.planting_part import CoefficientsPart, PlantingPart
from swalekit.errors import InputError
from swalekit.planting.plants.canopy import GROWN_YEARS, canopy_area_m2, canopy_diameter_m
from swalekit.planting.plants.species import Species, crop_of, find_species, known_species
from swalekit.planting.water.crop_coefficients import GrowingDays
from swalekit.planting.water.root_zone import RootZone
from swalekit.planting.water.stand import Stand, StandPart, stand_of
from swalekit.tables.crop_coefficients import CropRow, growth_stages

_USUAL_DEPLETION = 0.5
"""FAO-56 (1998) Table 22: most fruit trees; for crops whose row gives none."""


@one_line("pioneers", "sheltered", "ground_cover")
@dataclass(frozen=True)
class Chosen:
    """The species of a planting, each in its place, with the coefficients of the trees.

    Parameters
    ----------
    pioneers, sheltered, ground_cover : tuple of Species
        Nurses, the trees they nurse, low plants of the berm.
    crops, pioneer_crops, cover_crops : tuple of CropRow
        Coefficients of each sheltered tree, pioneer and plant of the berm.
    windbreak, windbreak_crops : tuple of Species, tuple of CropRow
        Plants of the row to windward, and their coefficients.
    """

    pioneers: tuple[Species, ...]
    sheltered: tuple[Species, ...]
    ground_cover: tuple[Species, ...]
    crops: tuple[CropRow, ...]
    pioneer_crops: tuple[CropRow, ...] = ()
    cover_crops: tuple[CropRow, ...] = ()
    windbreak: tuple[Species, ...] = ()
    windbreak_crops: tuple[CropRow, ...] = ()

    @property
    def all(self) -> tuple[Species, ...]:
        """Every species."""
        return self.pioneers + self.sheltered + self.ground_cover + self.windbreak

    @property
    def tree_area_m2(self) -> float:
        """Ground of a tree: the widest spacing squared [m²]."""
        return max(tree.spacing_m for tree in self.sheltered) ** 2

    @property
    def mean_canopy_m2(self) -> float:
        """Ground under a full-grown canopy, in the mean of the kinds [m²]."""
        areas = [canopy_area_m2(tree.canopy_m, tree.growth, GROWN_YEARS) for tree in self.sheltered]
        return sum(areas) / len(areas)

    @property
    def mean_canopy_m(self) -> float:
        """Diameter of a full-grown canopy of mean area [m]."""
        return canopy_diameter_m(self.mean_canopy_m2)

    @property
    def mature_cover(self) -> float:
        """Share of the planted ground under full-grown trees, at most 1 [-]."""
        return min(1.0, sum(_cover_of(self, tree) for tree in self.sheltered))


def chosen_species(part: PlantingPart, own: Mapping[str, Species]) -> Chosen:
    """Find the species that a brief names.

    Parameters
    ----------
    part : PlantingPart
        What the brief says of the planting.
    own : mapping of str to Species
        The user's own species, which go before those of the table.

    Returns
    -------
    Chosen
        Each in its place, with the coefficients of the trees.

    Raises
    ------
    InputError
        If any isn't known, stands in a place that isn't its role's, or names a row of coefficients that isn't there;
        all of them are told at once.

    Examples
    --------
    >>> [species.name for species in chosen_species(PlantingPart(sheltered=("olive", "almond")), {}).sheltered]
    ['olive', 'almond']
    """
    known = known_species() | dict(own)
    refused: list[str] = []

    def found(names: Iterable[str], key: str, role: str | None = None) -> tuple[Species, ...]:
        kept = []
        for name in names:
            try:
                plant = find_species(name, known)
            except InputError as error:
                refused.append(str(error))
                continue
            if role is not None and plant.role != role:
                refused.append(
                    f"[planting] {key} names {plant.name}, whose role is {plant.role}; list one whose role is {role}"
                )
            kept.append(plant)
        return tuple(kept)

    def crops(species: Iterable[Species]) -> tuple[CropRow, ...]:
        kept = []
        for plant in species:
            try:
                kept.append(crop_of(plant, given))
            except InputError as error:
                refused.append(f"{plant.name}: {error}")
        return tuple(kept)

    sheltered = found(part.sheltered, "sheltered", "fruit")
    pioneers = found(part.pioneers, "pioneers", "pioneer")
    cover = found(part.ground_cover, "ground_cover", "ground cover")
    windbreak = found(part.windbreak, "windbreak", "windbreak")
    given = {
        plant.name: _given_crop(plant, own)
        for name, own in part.coefficients.items()
        for plant in found((name,), "coefficients")
    }
    crops_of_all = (crops(sheltered), crops(pioneers), crops(cover), windbreak, crops(windbreak))
    if refused:
        raise InputError("; ".join(dict.fromkeys(refused)))
    return Chosen(pioneers, sheltered, cover, *crops_of_all)


def _given_crop(species: Species, own: CoefficientsPart) -> CropRow:
    stages = None if own.stages is None else growth_stages(own.stages)
    return CropRow(
        species.name, None, own.kcb, species.height_m, depletion_fraction=own.depletion_fraction, stages=stages
    )


def mature_stand(chosen: Chosen, days: GrowingDays, part: PlantingPart) -> Stand:
    """Make the stand of full-grown trees, as it is when the pioneers are gone.

    Parameters
    ----------
    chosen : Chosen
        The species.
    days : GrowingDays
        Days and air of the record.
    part : PlantingPart
        What the brief says of the planting.

    Returns
    -------
    Stand
        Its basal coefficient of every day.
    """
    return stand_of_cover(chosen, days, cover=chosen.mature_cover, mulch_cover=part.mulch_cover)


def stand_of_cover(chosen: Chosen, days: GrowingDays, *, cover: float, mulch_cover: float) -> Stand:
    """Make a stand of the same mix of trees with canopies over another share of the planted ground.

    Parameters
    ----------
    chosen : Chosen
        The species.
    days : GrowingDays
        Days and air of the record.
    cover : float
        Share of the planted ground under canopies [-].
    mulch_cover : float
        Share of it that is mulched [-].

    Returns
    -------
    Stand
        Its basal coefficient of every day.
    """
    mature = [min(1.0, _cover_of(chosen, tree)) for tree in chosen.sheltered]
    parts = [StandPart(crop, cover * share / sum(mature)) for crop, share in zip(chosen.crops, mature, strict=True)]
    return stand_of(parts, days, mulch_cover=mulch_cover)


def root_zone_of(chosen: Chosen, brief: Brief) -> RootZone:
    """Make the soil with the trees' roots in it: no deeper than they go, nor than the soil lets them.

    Parameters
    ----------
    chosen : Chosen
        The species.
    brief : Brief
        Texture, stones and depth of the soil.

    Returns
    -------
    RootZone
        What it holds, and how much of it the trees take without stress.

    Raises
    ------
    InputError
        If there is no such texture.

    Examples
    --------
    >>> root_zone_of(growth.chosen, site.brief).root_depth_m == growth.zone.root_depth_m
    True
    """
    part = brief.planting
    deepest = float(np.mean([tree.root_depth_m for tree in chosen.sheltered]))
    fractions = [
        _USUAL_DEPLETION if crop.depletion_fraction is None else crop.depletion_fraction for crop in chosen.crops
    ]
    return RootZone.of_texture(
        part.texture or brief.soil.texture or "",
        root_depth_m=deepest if part.root_depth_m is None else min(part.root_depth_m, deepest),
        depletion_fraction=float(np.mean(fractions)),
        stone_share=part.stone_share,
    )


def _cover_of(chosen: Chosen, species: Species) -> float:
    """Share of the planted ground under the full-grown canopies of one sheltered species."""
    canopy = canopy_area_m2(species.canopy_m, species.growth, GROWN_YEARS)
    return canopy / chosen.tree_area_m2 / len(chosen.sheltered)
