"""The part of the brief that says which rain the plan is made for."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from swalekit.design.brief.part import Part, Positive
from swalekit.hydrology.storm.annual_maxima import DAILY_READING_FACTOR


class StormPart(Part):
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
    duration_h: Annotated[float, Field(gt=0, le=24)] | None = Field(
        None, description="duration of both storms [h]; 24 when neither it nor course_file is given"
    )
    distribution: Literal["Gumbel", "GEV", "heavy tail", "log-Pearson III"] | None = Field(
        None,
        description=(
            "distribution of the record's annual maxima; when not given GEV where its tail is heavier than Gumbel's by "
            "more than chance, else Gumbel; heavy tail: GEV of the shape of long records the world over"
        ),
    )
    reading_factor: Annotated[float, Field(ge=1, le=1.3)] = Field(
        DAILY_READING_FACTOR,
        description="wettest 24 hours over the greatest daily reading; 1 where the record is of true 24 h depths",
    )
    course: Literal["I", "IA", "II", "III", "uniform", "alternating block"] | None = Field(
        None,
        description=(
            "course of the rain: an NRCS 24-hour type, which gives depths shorter than a day too, uniform, "
            "or alternating block from the table; II when neither it nor course_file is given"
        ),
    )
    course_file: str | None = Field(
        None, description="CSV of time and rain of a measured storm, whose course is scaled to the depths"
    )
    course_time: Literal["min", "h", "timestamp"] = Field(
        "min", description="time in the course file: minutes or hours since the start, or date and time"
    )
    course_values: Literal["increment", "cumulative"] = Field(
        "increment", description="rain in the course file: of each step, or since the start"
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
    def _one_course(self) -> Self:
        if self.course_file is not None and self.course is not None:
            message = f"course '{self.course}' and course_file both say how the rain falls; give one"
            raise ValueError(message)
        if self.course_file is not None and self.duration_h is not None:
            message = f"duration_h is {self.duration_h:g}, but course_file says how long the storm lasts; give one"
            raise ValueError(message)
        if self.course == "alternating block" and self.table is None:
            message = "course 'alternating block' is built from a table of depths; give table, or another course"
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
