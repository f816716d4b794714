"""The brief: every setting of a plan, checked, with its default.

Lengths are metres, areas m², depths of water mm, slopes m/m, side slopes horizontal : vertical. A brief file may give a
value in US units by naming the unit in the key (``interval_ft`` for ``interval_m``); it is converted on reading.
"""

from typing import Annotated, Literal, Self

from pydantic import BaseModel, ConfigDict, Field, model_validator

_GREATEST = 1e9
"""No length, area, rate or price of a site is larger; what is, is a slip."""

Positive = Annotated[float, Field(gt=0, le=_GREATEST, allow_inf_nan=False)]
NotNegative = Annotated[float, Field(ge=0, le=_GREATEST, allow_inf_nan=False)]
Level = Annotated[float, Field(ge=-12_000, le=9_000, allow_inf_nan=False)]
"""Between the deepest sea floor and the highest summit."""
Dimension = Annotated[float, Field(ge=0.01, le=100, allow_inf_nan=False)]
"""A dimension of the works: from what a crew can set out to what no machine digs."""

PATH_KEYS: tuple[tuple[str, str], ...] = (
    ("terrain", "file"),
    ("area", "boundary"),
    ("area", "keep_outs"),
    ("storm", "table"),
    ("storm", "record"),
    ("soil", "zones"),
)
"""Part and key of every file that a brief may name."""


class _Part(BaseModel):
    """A part of the brief: frozen; a key it does not know, or a text in place of a number, is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)


class SitePart(_Part):
    """Who and where: the words in the title block."""

    name: str = Field("Unnamed site", description="name in the title block")
    subtitle: str = Field("", description="second line of the title block: client, place, date")
    units: Literal["metric", "us"] = Field("metric", description="units shown on the map and the terminal")


class TerrainPart(_Part):
    """The tile and what is done to it on the way in."""

    file: str = Field(description="raster file: GeoTIFF, cloud-optimised GeoTIFF, ESRI ASCII grid or SRTM HGT")
    crs: str | None = Field(
        None, description="CRS of a tile that names none, or the metric CRS to warp to, as EPSG:32630"
    )
    vertical_unit: Literal["m", "ft", "us-ft"] | None = Field(
        None, description="unit of the heights where the file names none"
    )
    cell_m: Positive | None = Field(None, description="coarsen to about this cell by averaging [m]")
    vertical_sigma_m: Positive | None = Field(
        None, description="standard error of a height [m]; by cell size when not given"
    )
    fill_voids_m2: NotNegative = Field(25.0, description="enclosed voids up to this area are filled [m²]")
    denoise_radius_m: Annotated[NotNegative, Field(le=10)] = Field(
        0.0, description="take off shrubs narrower than this radius [m]; 0 leaves the surface"
    )
    hollow_noise_m: Positive | None = Field(
        None,
        description="hollows shallower than this are noise and filled [m]; twice the vertical error when not given",
    )


class AreaPart(_Part):
    """Where ditches may and may not run."""

    boundary: str | None = Field(None, description="polygon file of the site; the whole tile when not given")
    keep_outs: str | None = Field(None, description="file of keep-outs with properties kind, name, setback_m")
    setbacks_m: dict[str, NotNegative] = Field(
        default_factory=dict, description="setback by kind [m], in place of the table's"
    )


class StormPart(_Part):
    """The rain to hold, and the larger one that must leave safely: a depth, an atlas table, or a daily record."""

    depth_mm: Annotated[Positive, Field(le=1000)] | None = Field(
        None, description="design storm: depth of rain to hold [mm]"
    )
    check_depth_mm: Positive | None = Field(
        None, description="storm for which sills are sized [mm]; 1.5 × depth when not given"
    )
    table: str | None = Field(None, description="CSV of depth or intensity by duration and return period")
    table_unit: Literal["mm", "in", "mm/h", "in/h"] = Field("mm", description="what the table's values are")
    record: str | None = Field(None, description="CSV of date and daily rain")
    record_unit: Literal["mm", "in"] = Field("mm", description="unit of the record's rain")
    return_period_y: Annotated[float, Field(gt=1, le=1000)] | None = Field(
        None, description="return period of the design storm [years]"
    )
    check_return_period_y: Annotated[float, Field(gt=1, le=1000)] | None = Field(
        None, description="return period of the check storm [years]"
    )
    duration_h: Annotated[float, Field(gt=0, le=24)] = Field(24.0, description="duration of both storms [h]")
    distribution: Literal["Gumbel", "GEV", "log-Pearson III"] | None = Field(
        None, description="distribution of the record's annual maxima; the best fitting when not given"
    )
    reading_factor: Annotated[float, Field(ge=1, le=1.3)] = Field(
        1.0, description="true 24 h depth over that of fixed daily readings, as 1.13"
    )
    course: Literal["I", "IA", "II", "III", "uniform"] = Field(
        "II", description="course of the rain: an NRCS 24-hour type, or uniform; gives depths shorter than a day too"
    )

    @model_validator(mode="after")
    def _one_source_of_rain(self) -> Self:
        given = [name for name in ("depth_mm", "table", "record") if getattr(self, name) is not None]
        if len(given) != 1:
            found = " and ".join(given) if given else "none"
            message = f"give exactly one of depth_mm, table, record; found {found}"
            raise ValueError(message)
        if self.depth_mm is None and self.return_period_y is None:
            message = f"{given[0]} is given without return_period_y; say which return period the storm to hold has"
            raise ValueError(message)
        if self.depth_mm is not None and (self.return_period_y or self.check_return_period_y) is not None:
            message = "a return period goes with table or record; with depth_mm give check_depth_mm"
            raise ValueError(message)
        return self

    @model_validator(mode="after")
    def _check_is_larger(self) -> Self:
        for name in ("depth_mm", "return_period_y"):
            design, check = getattr(self, name), getattr(self, f"check_{name}")
            if design is not None and check is not None and check < design:
                message = f"check_{name} is {check:g} but {name} is {design:g}; the check storm must not be smaller"
                raise ValueError(message)
        return self


class SoilPart(_Part):
    """How much of the rain runs off, how fast water soaks, how soil swells and settles."""

    curve_number: Annotated[float, Field(ge=30, le=100)] | None = Field(
        None, description="NRCS curve number, 30 to 100"
    )
    cover: str | None = Field(None, description="cover of the published curve-number table")
    condition: str = Field(
        "poor", description="hydrologic condition of the cover: poor, fair, good, or any where it has only one"
    )
    group: Literal["A", "B", "C", "D"] | None = Field(None, description="hydrologic soil group")
    zones: str | None = Field(
        None, description="polygon file with a property curve_number; the rest takes the values above"
    )
    initial_abstraction_ratio: Annotated[float, Field(ge=0, le=0.4)] = Field(0.2, description="Ia/S")
    surface: str = Field("nearly bare", description="surface that runoff flows over, of the overland-velocity table")
    intake_mm_h: Positive | None = Field(
        None, description="rate at which standing water soaks in [mm/h], for the standing time"
    )
    texture: str | None = Field(None, description="USDA texture; gives intake_mm_h from the published table")
    material: str = Field("earth", description="material of the swell table")
    swell: NotNegative | None = Field(None, description="bank to loose, as 0.25; from the material when not given")
    fill_factor: Annotated[float, Field(gt=0.3, le=1.2)] = Field(
        0.9, description="compacted berm volume per bank volume"
    )

    @model_validator(mode="after")
    def _one_source_of_runoff(self) -> Self:
        if self.curve_number is None and (self.cover is None or self.group is None):
            message = "give curve_number, or cover and group (and condition) of the published table"
            raise ValueError(message)
        if self.curve_number is not None and self.cover is not None:
            message = (
                f"curve_number {self.curve_number:g} and cover '{self.cover}' both say how much runs off; give one"
            )
            raise ValueError(message)
        return self


class LevelsPart(_Part):
    """Which levels get a line: by interval, by spacing, or listed."""

    interval_m: Annotated[Positive, Field(ge=0.01)] | None = Field(None, description="vertical interval [m]")
    spacing_m: Annotated[Positive, Field(ge=0.1)] | None = Field(
        None, description="horizontal spacing [m]; the interval that gives it on this ground"
    )
    levels_m: Annotated[tuple[Level, ...], Field(min_length=1, strict=False)] | None = Field(
        None, description="explicit levels [m]"
    )
    start_m: Level | None = Field(
        None, description="highest level [m]; one interval below the highest ground when not given"
    )

    @model_validator(mode="after")
    def _exactly_one(self) -> Self:
        given = [name for name in ("interval_m", "spacing_m", "levels_m") if getattr(self, name) is not None]
        if len(given) != 1:
            found = " and ".join(given) if given else "none"
            message = f"give exactly one of interval_m, spacing_m, levels_m; found {found}"
            raise ValueError(message)
        return self


class LinesPart(_Part):
    """Where a level line is fit to dig."""

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


class SectionPart(_Part):
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
    greatest_depth_m: Dimension = Field(1.0, description="greatest dig depth at the stake [m]")
    depth_step_m: Dimension = Field(0.05, description="depths are set in this step [m]")


class SillPart(_Part):
    """The overflow sill, a level broad-crested weir."""

    head_m: Dimension = Field(
        0.10, description="depth of water over the sill in the check storm [m]; below the freeboard"
    )
    coefficient: Annotated[float, Field(gt=0.5, le=1.8)] | None = Field(
        None,
        description="broad-crested weir coefficient C in Q = C L H^1.5 [m^½/s]; the table's value for grass and earth when not given",
    )
    least_length_m: Positive = Field(1.0, description="shortest sill [m]")
    cover: str = Field("sandy loam", description="ground below the sill, of the permissible-velocity table")
    surface: str = Field("natural range", description="surface below the sill, of the roughness table")


class RatesPart(_Part):
    """Machine output and prices; without a price no cost is given."""

    machine_m3_per_h: Positive = Field(25.0, description="bank volume dug and placed an hour [m³/h]; common practice")
    machine_per_h: NotNegative | None = Field(None, description="price of a machine hour")
    dig_per_m3: NotNegative | None = Field(None, description="price of a bank cubic metre, added to the machine's")
    swale_per_m: NotNegative | None = Field(None, description="price of a metre of swale: staking, seed, mulch")
    mobilisation: NotNegative = Field(0.0, description="price of bringing the machine, once for the site")
    topsoil_depth_m: NotNegative = Field(0.10, description="topsoil set aside over the strip [m]")
    currency: str = Field("", description="currency shown beside costs")


class Brief(_Part):
    """The whole brief.

    Raises
    ------
    pydantic.ValidationError
        If a value is missing, unknown or breaks its rule; `swalekit.formats.brief` turns it into one line.
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
    rates: RatesPart = RatesPart()

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
