"""The part of the brief that says what work and materials cost."""

from typing import Annotated

from pydantic import Field, field_validator

from swalekit._checks import check_one_of
from swalekit.design.brief.part import NotNegative, Part, Positive
from swalekit.tables.load import read_table


class RatesPart(Part):
    """Machine output and prices; without a price no cost is given."""

    machine_m3_per_h: Positive = Field(25.0, description="bank volume dug and placed an hour [m³/h]; common practice")
    machine_per_h: NotNegative | None = Field(None, description="price of a machine hour")
    dig_per_m3: NotNegative | None = Field(None, description="price of a bank cubic metre, added to the machine's")
    bring_per_m3: NotNegative | None = Field(None, description="price of a compacted cubic metre brought for berms")
    swale_per_m: NotNegative | None = Field(None, description="price of a metre of swale: staking, seed, mulch")
    topsoil_m3_per_h: Positive | None = Field(
        None,
        description="topsoil set aside and spread again an hour [m³/h]; its hours are not counted when not given",
    )
    sill_h: NotNegative = Field(0.0, description="machine hours to form and level a sill with its apron [h]")
    sill_per_m: NotNegative | None = Field(None, description="price of a metre of sill, made level and compacted")
    stone_per_m3: NotNegative | None = Field(None, description="price of a cubic metre of stone, laid below sills")
    grass_per_m2: NotNegative | None = Field(None, description="price of a square metre of sod, laid below sills")
    bund_per_m3: NotNegative | None = Field(
        None,
        description="price of a cubic metre of microcatchment bund built by hand; the machine's prices when not given",
    )
    pit_each: NotNegative | None = Field(None, description="price of a planting pit, dug")
    pipe_per_m: NotNegative | None = Field(None, description="price of a metre of pipe under a crossing, laid")
    mobilisation: NotNegative = Field(0.0, description="price of bringing the machine, once for the site")
    topsoil_depth_m: NotNegative = Field(0.10, description="topsoil set aside over the strip [m]")
    labour_per_h: NotNegative | None = Field(None, description="price of an hour of work by hand")
    labour_hours: dict[str, NotNegative] = Field(
        default_factory=dict, description="hours by task, a plant or cubic metre [h]; the table's when not given"
    )
    guard_each: NotNegative | None = Field(None, description="price of a tree guard; none is counted when not given")
    fence_per_m: NotNegative | None = Field(None, description="price of a metre of fence; none is counted without it")
    fence_m: NotNegative | None = Field(None, description="length of the fence [m]; round the boundary when not given")
    contingency_share: Annotated[float, Field(ge=0, le=1)] = Field(
        0.1, description="share of the budget kept for what nobody saw; common practice"
    )
    other: dict[Annotated[str, Field(max_length=60)], NotNegative] = Field(
        default_factory=dict, description="sums of your own in the budget, as a survey or an engineer's check, by name"
    )
    currency: Annotated[str, Field(max_length=20)] = Field("", description="currency shown beside costs")

    @field_validator("labour_hours")
    @classmethod
    def _tasks_are_known(cls, hours: dict[str, float]) -> dict[str, float]:
        for task in hours:
            check_one_of(tuple(row["task"] for row in read_table("labour")), labour_hours=task)
        return hours

    def hours_of(self, task: str) -> float:
        """Hours that a task takes: the brief's own, else the table's.

        Parameters
        ----------
        task : str
            Row of the table of labour.

        Returns
        -------
        float
            Hours a plant, or a cubic metre [h].

        Raises
        ------
        InputError
            If there is no such task.

        Examples
        --------
        >>> RatesPart(labour_hours={"thin": 0.5}).hours_of("thin"), RatesPart().hours_of("carry water")
        (0.5, 0.5)
        """
        table = {row["task"]: float(row["hours"]) for row in read_table("labour")}
        check_one_of(tuple(table), task=task)
        return self.labour_hours.get(task, table[task])
