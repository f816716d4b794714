"""The part of the brief that says what is planted, on which soil and when."""

from dataclasses import replace
from difflib import get_close_matches
from typing import Annotated, Self

from pydantic import Field, model_validator

from swalekit._checks import check_one_of
from swalekit.design.brief.part import NotNegative, Part, Positive
from swalekit.errors import BriefError, InputError
from swalekit.planting.palette.proposal import regions
from swalekit.planting.plants.species import USES
from swalekit.planting.plants.succession import MATURE_YEAR, RoleYears, usual_succession
from swalekit.planting.water.months import LEAST_RATIO
from swalekit.planting.water.root_spread import usual_spread
from swalekit.tables.crop_coefficients import growth_stages
from swalekit.tables.load import named_row, read_table
from swalekit.tables.soil_water import soil_water

Names = Annotated[tuple[str, ...], Field(strict=False)]
Share = Annotated[float, Field(ge=0, le=1)]
Year = Annotated[int, Field(ge=1, le=100)]
Coefficient = Annotated[float, Field(gt=0, le=1.6)]


def _survival() -> dict[str, float]:
    return {row["role"]: float(row["least_ratio"]) for row in read_table("survival")}


def _usual_relief() -> float:
    return named_row("planting_practice", practice="shade relief").value


class CoefficientsPart(Part):
    """Crop coefficients of a species for which none is published."""

    kcb: Annotated[tuple[Coefficient, Coefficient, Coefficient], Field(strict=False)] = Field(
        description="basal coefficient of a stand that covers the ground: initial stage, mid-season, end"
    )
    stages: str | None = Field(
        None, description="row of the table of growth stages; not needed where the three coefficients are the same"
    )
    depletion_fraction: Annotated[float, Field(ge=0.1, le=0.8)] = Field(
        0.5, description="share of the available water that it takes without stress"
    )

    @model_validator(mode="after")
    def _stages_are_known(self) -> Self:
        if self.stages is not None:
            growth_stages(self.stages)
        elif len(set(self.kcb)) > 1:
            message = f"kcb {list(self.kcb)} changes through the year; give stages, a row of the table of growth stages"
            raise ValueError(message)
        return self


class SuccessionPart(Part):
    """Years of one role of plants, counted from 1 for the first planting; a year beyond the schedule is never."""

    plant_year: Year | None = Field(None, description="when they are planted")
    prune_from_year: Year | None = Field(None, description="from when they are cut back for mulch every year")
    thin_year: Year | None = Field(None, description="when a share of them is taken out")
    thin_share: Share | None = Field(None, description="that share")
    remove_year: Year | None = Field(None, description="when the rest is taken out")
    losses: Annotated[tuple[Annotated[float, Field(ge=0, le=0.95)], ...], Field(strict=False, max_length=10)] | None = (
        Field(None, description="share lost in a plant's first year, second, ...; the table's when not given")
    )


class PlantingPart(Part):
    """What is planted, on which soil, and when the water is said to carry it."""

    pioneers: Names = Field((), description="nursing species, in turn along the row; names of the species table")
    sheltered: Names = Field((), description="fruit trees that grow up between them, in turn along the row")
    ground_cover: Names = Field((), description="low plants of the berm, in turn; none when empty")
    windbreak: Names = Field((), description="plants of the row to windward, in turn; it needs wind_from_deg")
    wind_from_deg: Annotated[float, Field(ge=0, le=360)] | None = Field(
        None, description="direction from which the harmful wind blows, clockwise from north [°]"
    )
    species: str | None = Field(None, description="CSV of the user's own species, which go before those of the table")
    coefficients: dict[str, CoefficientsPart] = Field(
        default_factory=dict, description="crop coefficients by species, where none is published"
    )
    pioneers_per_tree: Annotated[int, Field(ge=1, le=6)] = Field(
        1, description="pioneers between one tree and the next, thinned as the canopies close"
    )
    shade_relief: Share = Field(
        _usual_relief(), description="share by which trees under pioneers want less, assumed 0.3; 0 for none"
    )
    uses: Names = Field(
        (), description="what is wanted of plants that are proposed: food, fodder, firewood, timber, bees, medicine"
    )
    frost_c: Annotated[float, Field(ge=-60, le=20)] | None = Field(
        None, description="coldest night to be stood [°C]; the coldest of measured days when not given"
    )
    soil_ece_ds_m: Annotated[NotNegative, Field(le=100)] | None = Field(
        None, description="salt: electrical conductivity of the soil's saturated paste, mean of the root zone [dS/m]"
    )
    soil_ph: Annotated[float, Field(ge=2, le=12)] | None = Field(None, description="pH of the soil")
    region: str | None = Field(None, description="where plants that spread are refused, as Australia")
    avoid_invasive: bool = Field(True, description="whether those of the region are refused; false only warns")
    least_yield: Annotated[float, Field(gt=0, lt=1)] = Field(
        0.5, description="share of the yield on good ground below which salt refuses a plant; assumed"
    )
    plant_anyway: Names = Field((), description="species that are planted though the site is too cold or salty")
    planting_year: Annotated[int, Field(ge=1900, le=2200)] | None = Field(
        None, description="calendar year of the first planting, from which the nursery is counted back"
    )
    texture: str | None = Field(
        None, description="texture of the root zone, of the soil-water table; the soil's when not given"
    )
    stone_share: Annotated[float, Field(ge=0, le=0.95)] = Field(
        0.0, description="share of the soil's volume that is stone and holds no water"
    )
    root_depth_m: Annotated[Positive, Field(le=10)] | None = Field(
        None, description="depth of soil that roots can use [m]; as deep as the species root when not given"
    )
    root_spread: Annotated[float, Field(ge=1, le=10)] = Field(
        usual_spread(), description="spread of the trees' roots over that of their canopies; 1.7 to 3.7 were measured"
    )
    seep_m: Annotated[NotNegative, Field(le=50)] = Field(
        0.0,
        description="how far downhill soaked water creeps within the roots' depth, as over a tight layer [m]",
    )
    rows_below: Annotated[int, Field(ge=0, le=20)] = Field(
        0, description="rows of trees below the one at the berm's foot, where their roots reach the ditch's water"
    )
    least_ratio: Annotated[float, Field(gt=0, lt=1)] = Field(
        LEAST_RATIO,
        description="transpiration over full demand of a year below which trees suffer; 0.5 where fruit counts",
    )
    reliability: Annotated[float, Field(gt=0, le=1)] = Field(
        0.8, description="share of years in which they must not suffer: 0.8 is 4 years in 5"
    )
    survival: dict[str, Annotated[float, Field(gt=0, lt=1)]] = Field(
        default_factory=_survival,
        description=(
            "least_ratio of what is planted where no fruit tree is carried: hardy tree, pioneer, ground cover; the "
            "table's 0.2, 0.15 and 0.1 when not given"
        ),
    )
    hand_water_l_week: Annotated[NotNegative, Field(le=1000)] = Field(
        0.0, description="water that each tree is given by hand in a week of the dry months, year after year [L]"
    )
    pocket_m3: Annotated[NotNegative, Field(le=50)] | None = Field(
        None,
        description=(
            "pocket dug into the ditch's floor beside each tree where too few trees are carried without one [m³]; the "
            "table's 2 when not given, none when 0"
        ),
    )
    irrigation_mm_month: Annotated[NotNegative, Field(le=1000)] = Field(
        0.0, description="water that may be given to the planted ground in a month beside the swales' [mm]; none when 0"
    )
    mulch_cover: Share = Field(0.5, description="share of the planted ground that is mulched")
    mulch_depth_m: Positive | None = Field(
        None, description="depth of mulch when first spread [m]; the table's 0.1 when not given"
    )
    mulch_top_up_m: NotNegative | None = Field(
        None, description="depth that a year's decay takes [m]; the table's 0.05 when not given"
    )
    years: Annotated[int, Field(ge=1, le=30)] = Field(MATURE_YEAR, description="years of the schedule")
    succession: dict[str, SuccessionPart] = Field(
        default_factory=dict, description="years by role: pioneer, fruit, ground cover; common practice where not given"
    )
    prices: dict[str, NotNegative] = Field(
        default_factory=dict, description="price of a unit by species, and of mulch, compost, gravel, pipe"
    )

    @property
    def named(self) -> tuple[str, ...]:
        """Names of all plants."""
        return (*self.pioneers, *self.sheltered, *self.ground_cover, *self.windbreak)

    @model_validator(mode="after")
    def _wind_is_known(self) -> Self:
        if self.windbreak and self.wind_from_deg is None:
            message = "windbreak names plants of a row to windward; give wind_from_deg, from where the wind blows"
            raise ValueError(message)
        return self

    @model_validator(mode="after")
    def _texture_is_known(self) -> Self:
        if self.texture is not None:
            soil_water(self.texture)
        for name in self.named:
            if self.named.count(name) > 1:
                message = f"'{name}' is listed twice; list each species once"
                raise ValueError(message)
        return self

    @model_validator(mode="after")
    def _palette_is_known(self) -> Self:
        if self.region is not None:
            check_one_of(regions(), region=self.region)
        for use in self.uses:
            check_one_of(USES, uses=use)
        for name in self.plant_anyway:
            if name not in self.named:
                message = (
                    f"plant_anyway names '{name}', which isn't among the species to plant; list it there or drop it"
                )
                raise ValueError(message)
        return self

    @model_validator(mode="after")
    def _survival_is_of_a_group(self) -> Self:
        for name in self.survival:
            check_one_of(tuple(_survival()), survival=name)
        return self

    def least_ratio_of(self, group: str) -> float:
        """Least share of its full want on which a group lives: the brief's own, else the table's.

        Parameters
        ----------
        group : str
            ``hardy tree``, ``pioneer`` or ``ground cover``.

        Returns
        -------
        float
            Transpiration over full demand of a year [-].

        Raises
        ------
        InputError
            If there is no such group.

        Examples
        --------
        >>> part = PlantingPart(survival={"pioneer": 0.25})
        >>> part.least_ratio_of("pioneer"), part.least_ratio_of("hardy tree")
        (0.25, 0.2)
        """
        table = _survival()
        check_one_of(tuple(table), group=group)
        return self.survival.get(group, table[group])

    def calendar_year(self, number: int) -> int:
        """Calendar year of a year counted from 1 for the first planting; the number itself where no year is given.

        Parameters
        ----------
        number : int
            Year, from 1 for the first planting.

        Returns
        -------
        int
            Year of the calendar.

        Examples
        --------
        >>> PlantingPart(planting_year=2030).calendar_year(3)
        2032
        """
        return (self.planting_year or 1) - 1 + number

    @property
    def years_by_role(self) -> tuple[RoleYears, ...]:
        """Years of every role, the brief's own in place of the usual ones."""
        given = {role: part.model_dump(exclude_none=True) for role, part in self.succession.items()}
        if not self.pioneers:  # no shade to wait for
            given["fruit"] = {"plant_year": 1} | given.get("fruit", {})
        return tuple(replace(usual, **given.get(usual.role, {})) for usual in usual_succession())

    @property
    def years_of_lasting(self) -> tuple[RoleYears, ...]:
        """Years of every role where pioneers stand for trees: planted, and neither cut, thinned nor taken out."""
        return tuple(
            RoleYears(plan.role, plan.plant_year, losses=plan.losses) if plan.role == "pioneer" else plan
            for plan in self.years_by_role
        )

    @model_validator(mode="after")
    def _succession_fits(self) -> Self:
        usual = [plan.role for plan in usual_succession()]
        for role in self.succession:
            if role not in usual:
                message = f"succession names '{role}', which is no role of plants; there are {', '.join(usual)}"
                raise ValueError(message)
        try:
            years = {plan.role: plan.plant_year for plan in self.years_by_role}
        except InputError as error:
            message = f"succession: {error}; give years in the order planted, pruned, thinned, taken out"
            raise ValueError(message) from error
        gone = [plan.role for plan in self.years_by_role if plan.remove_year == plan.plant_year]
        if gone:
            message = f"succession: {gone[0]} is taken out in the year in which it is planted; give a later remove_year"
            raise ValueError(message)
        last, role = max((years[role], role) for role in ("pioneer", "fruit", "ground cover"))
        if self.years < last:
            message = f"years is {self.years}, but {role} is planted in year {last}; give {last} or more"
            raise ValueError(message)
        return self

    def check_prices(self, priced: tuple[str, ...]) -> None:
        """Check that each price is one of something that can be bought; a list may name more than this planting takes.

        Parameters
        ----------
        priced : tuple of str
            Names that may have a price.

        Raises
        ------
        BriefError
            If one isn't.

        Examples
        --------
        >>> PlantingPart(prices={"mulch": 20.0}).check_prices(("mulch", "compost"))
        """
        for item in self.prices:
            if item not in priced:
                near = get_close_matches(item, priced, n=1)
                hint = f"did you mean '{near[0]}'?" if near else "name a species, mulch, compost, gravel or pipe"
                message = f"[planting] prices names '{item}', which is no species of the table or of your file; {hint}"
                raise BriefError(message)
