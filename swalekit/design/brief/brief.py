"""The brief: every setting of a plan, checked, with its default.

Lengths are metres, areas m², depths of water mm, slopes m/m, side slopes horizontal : vertical. A brief file may give a
value in US units by naming the unit in the key (``interval_ft`` for ``interval_m``); it is converted on reading.
"""

from datetime import date
from typing import Annotated, Literal, Self

from pydantic import Field, field_validator, model_validator

from swalekit._checks import check_one_of
from swalekit.contours.obstacles import KEEP_OUT_KINDS
from swalekit.design.brief.allowances_part import AllowancesPart
from swalekit.design.brief.beds_part import BedsPart, TankPart
from swalekit.design.brief.conditions_part import ConditionsPart
from swalekit.design.brief.greywater_part import GreywaterPart
from swalekit.design.brief.microcatchments_part import MicrocatchmentsPart
from swalekit.design.brief.part import Dimension, Level, NotNegative, Part, Positive
from swalekit.design.brief.planting_part import PlantingPart
from swalekit.design.brief.rates_part import RatesPart
from swalekit.design.brief.silt_part import SiltPart
from swalekit.design.brief.soil_part import SoilPart
from swalekit.design.brief.stages_part import StagesPart
from swalekit.design.brief.storm_part import StormPart
from swalekit.design.brief.toilet_part import ToiletPart
from swalekit.design.brief.uncertainty_part import UncertaintyPart
from swalekit.design.brief.weather_part import WeatherPart
from swalekit.section.laid_swale import check_label
from swalekit.tables.spacing_rules import spacing_rule
from swalekit.tables.values import level_spreader

PATH_KEYS: tuple[tuple[str, str], ...] = (
    ("terrain", "file"),
    ("terrain", "points"),
    ("area", "boundary"),
    ("area", "keep_outs"),
    ("area", "crossings"),
    ("storm", "table"),
    ("storm", "record"),
    ("storm", "course_file"),
    ("soil", "zones"),
    ("soil", "infiltration_test"),
    ("lines", "file"),
    ("weather", "file"),
    ("weather", "rain"),
    ("planting", "species"),
    ("microcatchments", "area"),
    ("beds", "area"),
)
"""Part and key of every file that a brief may name."""

SITE_PARTS, TERRAIN_PARTS, RECORD_PARTS = (
    ("area", "storm", "soil", "lines"),
    ("terrain",),
    ("weather", "planting", "beds"),
)
"""Parts whose files a site, its terrain and the records of a planting are read from."""
BUND_PARTS = ("microcatchments", "weather")
"""Parts whose files microcatchments are worked out from, besides a daily record of the storm."""
DESIGN_PARTS = (*TERRAIN_PARTS, *SITE_PARTS)
"""Parts whose files a design is made from."""

LEVEL_CHOICES = ("interval_m", "spacing_m", "levels_m", "rule", "matched")
"""Keys of the levels, one of which says how they are chosen."""


class SitePart(Part):
    """Who and where: the words in the title block."""

    name: str = Field("Unnamed site", description="name in the title block")
    subtitle: str = Field("", description="second line of the title block: client, place, date")
    revision: Annotated[str, Field(max_length=20)] = Field("", description="revision of the plan, as B or 2")
    date: Annotated[str, Field(max_length=40)] = Field("", description="date of the plan, as 2026-11-30 or in words")
    units: Literal["metric", "us"] = Field("metric", description="units shown on the map and the terminal")

    @field_validator("date", mode="before")
    @classmethod
    def _date_in_words(cls, value: object) -> object:
        """A date of TOML as it is written there."""
        return value.isoformat() if isinstance(value, date) else value


class TerrainPart(Part):
    """The tile and what is done to it on the way in."""

    file: str = Field(
        description="tile (GeoTIFF, ESRI ASCII grid, SRTM HGT) or point cloud (LAS, LAZ), or a folder of either; tiles that "
        "differ are resampled to the finest"
    )
    crs: str | None = Field(
        None, description="CRS of a tile that names none, or the metric CRS to warp to, as EPSG:32630"
    )
    vertical_unit: Literal["m", "ft", "us-ft"] | None = Field(
        None, description="unit of the heights where the file names none"
    )
    cell_m: Positive | None = Field(
        None,
        description="average cells to about this [m]; 0.25 m, or the tile's own cell if that is coarser, when not given",
    )
    vertical_sigma_m: Annotated[Positive, Field(le=100)] | None = Field(
        None, description="standard error of a height [m]; by cell size when not given"
    )
    fill_voids_m2: NotNegative = Field(25.0, description="enclosed voids up to this area are filled [m²]")
    denoise_radius_m: Annotated[NotNegative, Field(le=10)] = Field(
        0.0,
        description="half the width of the widest canopy or roof taken off a surface [m]; 0 leaves the surface",
    )
    memory_gb: Annotated[float, Field(ge=1e-4, le=1e6)] | None = Field(
        None,
        description="memory that the work may take [GB], free memory when not given; a larger terrain lies on disk",
    )
    hollow_noise_m: Annotated[Positive, Field(le=100)] | None = Field(
        None,
        description="hollows shallower than this are noise and filled [m]; twice the vertical error when not given",
    )
    points: str | None = Field(
        None, description="table of points measured on bare ground, which say how good the tile is"
    )
    points_crs: str | None = Field(None, description="their CRS, as EPSG:32630; that of the terrain when not given")
    points_unit: Literal["m", "ft", "us-ft"] | None = Field(
        None, description="unit of their heights where the column names none; metres when not given"
    )
    correction: Literal["none", "shift", "plane", "bowl", "fitted"] = Field(
        "none", description="what the points take out of the heights; fitted: what their leave-one-out errors bear"
    )

    @model_validator(mode="after")
    def _points_are_there(self) -> Self:
        given = {"points_crs": self.points_crs, "points_unit": self.points_unit, "correction": self.correction}
        for key, value in given.items():
            if self.points is None and value not in (None, "none"):
                message = f'{key} is "{value}", but no points are named; it goes with points'
                raise ValueError(message)
        return self


class AreaPart(Part):
    """Where ditches may and may not run."""

    boundary: str | None = Field(None, description="polygon file of the site; the whole tile when not given")
    keep_outs: str | None = Field(None, description="file of keep-outs with properties kind, name, setback_m")
    crossings: str | None = Field(
        None, description="file of ways across the lines with properties kind, use, name, width_m"
    )
    setbacks_m: dict[str, NotNegative] = Field(
        default_factory=dict, description="setback by kind [m], in place of the table's"
    )

    @field_validator("setbacks_m")
    @classmethod
    def _kinds_are_known(cls, setbacks_m: dict[str, float]) -> dict[str, float]:
        for kind in setbacks_m:
            check_one_of(tuple(KEEP_OUT_KINDS), kind=kind)
        return setbacks_m


class LevelsPart(Part):
    """Which levels get a line: by interval, spacing or a published rule, listed, or matched to the storm."""

    interval_m: Annotated[Positive, Field(ge=0.01)] | None = Field(None, description="vertical interval [m]")
    spacing_m: Annotated[Positive, Field(ge=0.1)] | None = Field(
        None, description="horizontal spacing [m]; the interval that gives it on the ground that can be dug"
    )
    levels_m: Annotated[tuple[Level, ...], Field(min_length=1, strict=False)] | None = Field(
        None, description="explicit levels [m]"
    )
    rule: str | None = Field(None, description="published spacing rule by name; its interval on this ground")
    matched: Literal[True] | None = Field(
        None, description="true: levels so far apart that each one's lines are just full at the design storm"
    )
    matched_depth_m: Dimension | None = Field(
        None, description="depth to which matched lines are taken to be dug [m]; the greatest allowed when not given"
    )
    start_m: Level | None = Field(
        None, description="highest level [m]; one interval below the highest ground when not given"
    )

    @model_validator(mode="after")
    def _exactly_one(self) -> Self:
        given = [name for name in LEVEL_CHOICES if getattr(self, name) is not None]
        if len(given) != 1:
            found = " and ".join(given) if given else "none"
            message = f"give exactly one of {', '.join(LEVEL_CHOICES)}; found {found}"
            raise ValueError(message)
        if self.rule is not None:
            spacing_rule(self.rule)
        if self.matched_depth_m is not None and self.matched is None:
            message = f"matched_depth_m is given with {given[0]}; it goes with matched = true"
            raise ValueError(message)
        return self


class LinesPart(Part):
    """Where a level line is fit to dig, and what the designer decided line by line."""

    file: str | None = Field(
        None, description="lines held, dropped and drawn, with their own settings; what isn't there is proposed"
    )
    tolerance_m: Positive = Field(0.10, description="greatest departure of the ground from the level along a line [m]")
    bend_radius_m: Dimension = Field(4.0, description="least bend radius for the digger [m]")
    least_length_m: NotNegative = Field(15.0, description="shorter stretches are dropped [m]")
    least_ring_m: NotNegative = Field(60.0, description="shorter closed rings are dropped [m]")
    least_slope: Positive = Field(0.01, description="flatter ground is left out [m/m]")
    greatest_slope: Annotated[float, Field(gt=0, le=0.5)] = Field(0.25, description="steeper ground is left out [m/m]")
    watercourse_area_m2: Positive = Field(10_000.0, description="contributing area that makes a watercourse [m²]")
    watercourse_gap_m: NotNegative = Field(5.0, description="lines end this far from a watercourse [m]")

    @model_validator(mode="after")
    def _window_is_open(self) -> Self:
        if self.least_slope >= self.greatest_slope:
            message = f"least_slope {self.least_slope:g} must be below greatest_slope {self.greatest_slope:g}"
            raise ValueError(message)
        return self


class SectionPart(Part):
    """The ditch-and-berm section and the depths a crew may dig."""

    bottom_width_m: Dimension = Field(0.6, description="width of the level ditch floor [m]")
    uphill_side_slope: Positive = Field(1.5, description="uphill ditch side, horizontal : vertical")
    downhill_side_slope: Positive = Field(1.5, description="downhill ditch side, horizontal : vertical")
    bench_m: Annotated[NotNegative, Field(le=100)] = Field(
        0.3, description="undisturbed strip between ditch and berm [m]"
    )
    berm_uphill_side_slope: Positive = Field(2.0, description="berm face towards the ditch, horizontal : vertical")
    berm_downhill_side_slope: Positive = Field(2.0, description="berm face downhill, horizontal : vertical")
    crest_width_m: Dimension = Field(0.5, description="width of the level crest [m]")
    freeboard_m: Annotated[NotNegative, Field(le=100)] = Field(0.15, description="crest above sill [m]")
    least_depth_m: Dimension = Field(0.3, description="least dig depth at the stake [m]")
    greatest_bottom_width_m: Dimension = Field(
        3.0, description="widest floor, dug where a narrower one breaks a limit or can't hold the storm [m]"
    )
    bottom_width_step_m: Dimension = Field(0.2, description="floors are widened in this step [m]")
    greatest_fill_m: Dimension = Field(
        1.0, description="highest berm above the ground beneath it [m]; common practice without an engineer"
    )
    greatest_depth_m: Annotated[Dimension, Field(le=5)] = Field(1.0, description="greatest dig depth at the stake [m]")
    depth_step_m: Dimension = Field(0.05, description="depths are set in this step [m]")


class SillPart(Part):
    """The overflow sill, a level broad-crested weir."""

    head_m: Dimension = Field(
        0.10, description="depth of water over the sill in the check storm [m]; below the freeboard"
    )
    coefficient: Annotated[float, Field(gt=0.5, le=1.8)] | None = Field(
        None,
        description="broad-crested weir coefficient C in Q = C L H^1.5 [m^½/s]; the table's value for grass and earth when not given",
    )
    least_length_m: Positive = Field(1.0, description="shortest sill [m]")
    greatest_length_m: Annotated[float, Field(gt=0, le=200)] = Field(
        level_spreader("longest").value,
        description="length to which a sill may be made longer so that the ground bears its flow [m]",
    )
    off_level_m: Annotated[NotNegative, Field(le=0.1)] = Field(
        level_spreader("off level").value,
        description="how far its low end may come out below its level; the flow that crowds there must be borne [m]",
    )
    cover: str = Field("sandy loam", description="ground below the sill, of the permissible-velocity table")
    surface: str | None = Field(
        None,
        description="surface below the sill, of the roughness table; what belongs to the cover when not given",
    )
    apron: Literal["stone", "grass"] = Field(
        "stone",
        description=(
            "what is laid where a sill's soil doesn't bear the check storm's flow and a longer sill doesn't help or is "
            "dearer: stone, or grass where sod bears it and stone elsewhere"
        ),
    )


class BreachPart(Part):
    """What if one swale fails: its berm gives way when it is fullest in a storm."""

    swale: str | None = Field(
        None, description="swale whose failure is drawn, as S1; the three that do most harm when not given"
    )
    minutes: Annotated[Positive, Field(le=1440)] | None = Field(
        None, description="time in which a failing swale empties [min]; by published relations when not given"
    )


class StakesPart(Part):
    """Where stakes go, what heights are also given against, and how the point file is written."""

    spacing_m: Annotated[float, Field(ge=0.5, le=100)] = Field(10.0, description="chainage from stake to stake [m]")
    bend_degrees: Annotated[float, Field(ge=1, le=180)] = Field(20.0, description="turn of the line that is staked [°]")
    grade_change_m: Dimension = Field(
        0.05, description="change of the ground's height from stake to stake that needs one in between [m]"
    )
    margin_m: Dimension = Field(1.0, description="offset stakes stand this far beyond the edge of the works [m]")
    benchmark: str | None = Field(None, description="name of a fixed point that heights are also given against")
    benchmark_m: Level | None = Field(None, description="its height in the terrain's datum [m]")
    point_order: Literal["PNEZD", "PENZD"] = Field(
        "PNEZD",
        description="columns of the point file: number, northing, easting, height, description, or easting first",
    )
    point_unit: Literal["m", "ft", "us-ft"] = Field("m", description="unit of the point file")
    point_header: bool = Field(True, description="whether the point file's first row names its columns")

    @model_validator(mode="after")
    def _benchmark_is_whole(self) -> Self:
        if (self.benchmark is None) != (self.benchmark_m is None):
            given, missing = ("benchmark", "benchmark_m") if self.benchmark_m is None else ("benchmark_m", "benchmark")
            message = f"{given} is given without {missing}; a benchmark needs its name and its height"
            raise ValueError(message)
        if self.benchmark is not None:
            check_label(self.benchmark, what="name of the benchmark")
        return self


class Brief(Part):
    """The whole brief.

    Raises
    ------
    pydantic.ValidationError
        If a value is missing, unknown or breaks its rule; `swalekit.formats.inputs.brief` turns it into one line.
    """

    site: SitePart = SitePart()
    terrain: TerrainPart
    area: AreaPart = AreaPart()
    storm: StormPart
    soil: SoilPart
    levels: LevelsPart
    lines: LinesPart = LinesPart()
    section: SectionPart = SectionPart()
    sill: SillPart = SillPart()
    allowances: AllowancesPart = AllowancesPart()
    conditions: ConditionsPart = ConditionsPart()
    breach: BreachPart = BreachPart()
    silt: SiltPart = SiltPart()
    rates: RatesPart = RatesPart()
    stages: StagesPart = StagesPart()
    stakes: StakesPart = StakesPart()
    weather: WeatherPart = WeatherPart()
    planting: PlantingPart = PlantingPart()
    greywater: GreywaterPart = GreywaterPart()
    beds: BedsPart = BedsPart()
    tank: TankPart = TankPart()
    toilet: ToiletPart = ToiletPart()
    microcatchments: MicrocatchmentsPart = MicrocatchmentsPart()
    uncertainty: UncertaintyPart = UncertaintyPart()

    @model_validator(mode="after")
    def _a_budget_has_prices(self) -> Self:
        rates = self.rates
        if (
            self.stages.budget_per_stage is not None
            and rates.machine_per_h is rates.dig_per_m3 is rates.swale_per_m is None
        ):
            message = (
                f"stages budget_per_stage is {self.stages.budget_per_stage:g} but rates name no price; give "
                "machine_per_h, dig_per_m3 or swale_per_m"
            )
            raise ValueError(message)
        return self

    @model_validator(mode="after")
    def _sill_flow_stays_below_the_crest(self) -> Self:
        if self.sill.head_m >= self.section.freeboard_m:
            message = (
                f"sill head_m is {self.sill.head_m:g} but section freeboard_m is {self.section.freeboard_m:g}; "
                "the head must be smaller or water leaves over the berm"
            )
            raise ValueError(message)
        if self.section.least_depth_m > self.section.greatest_depth_m:
            message = (
                f"section least_depth_m is {self.section.least_depth_m:g} and greatest_depth_m is "
                f"{self.section.greatest_depth_m:g}; the least must not exceed the greatest"
            )
            raise ValueError(message)
        return self
