"""The tables of a planting's plants: each of them, their kinds, and the work and supplies that they take."""

from swalekit.design.growth.growth import Growth
from swalekit.design.growth.table import Row
from swalekit.design.plan.columns import Column, row_of

PLANT_COLUMNS: tuple[Column, ...] = (
    Column("number", "", "number of the plant", 0),
    Column("swale", "", "lasting name of the swale; empty for the row to windward"),
    Column("row", "", "berm, foot of the berm, row below it, or windbreak"),
    Column("species", "", "common name", of="name"),
    Column("binomial", "", "botanical name"),
    Column("role", "", "pioneer, fruit, ground cover or windbreak"),
    Column("plant_year", "", "calendar year in which it is planted", 0),
    Column("easting_m", "m", "easting in the CRS of the project", 2),
    Column("northing_m", "m", "northing in the CRS of the project", 2),
)

SPECIES_COLUMNS: tuple[Column, ...] = (
    Column("species", "", "common name", of="name"),
    Column("binomial", "", "botanical name"),
    Column("role", "", "pioneer, fruit, ground cover or windbreak"),
    Column("plants", "", "plants on the plan", 0),
    Column("nitrogen_fixing", "", "yes where it gathers nitrogen"),
    Column("leaf", "", "evergreen or deciduous"),
    Column("water_group", "", "what it asks for once established: very low, low, medium, high"),
    Column("frost_limit_c", "degC", "cold that an established plant stands", 1),
    Column("rooting", "", "habit of its roots"),
    Column("root_depth_m", "m", "depth from which the grown plant draws water", 2),
    Column("canopy_m", "m", "diameter of the grown canopy", 1),
    Column("height_m", "m", "height of the grown plant", 1),
    Column("spacing_m", "m", "distance to the next of its kind", 1),
    Column("growth", "", "quick, medium or slow"),
    Column("nursery_months", "", "months from sowing or grafting to planting", 1),
    Column("kcb_mid", "", "basal crop coefficient in mid-season, of trees", 2),
    Column("kcb_source", "", "where the coefficient is from"),
    Column("watch", "", "why to look at the list of invasive species"),
    Column("source", "", "where the other figures are from"),
)

SCHEDULE_COLUMNS: tuple[Column, ...] = (
    Column("year", "", "calendar year", 0),
    Column("task", "", "what is done"),
    Column("species", "", "to what", of="species.name"),
    Column("plants", "", "to how many", 0),
)

NURSERY_COLUMNS: tuple[Column, ...] = (
    Column("species", "", "common name", of="species.name"),
    Column("raised_by", "", "seed, cuttings, pads, offshoots ...", of="raising.raised_by"),
    Column("sow", "", "month of sowing or grafting", of=lambda line: str(line.sow_month)),
    Column("plant", "", "month of planting", of=lambda line: str(line.plant_month)),
    Column("started", "", "seeds, cuttings, pads ... to start, those included that don't come up", 0),
    Column("seed_g", "g", "seed; empty where it isn't raised from seed", 1),
    Column("treatment", "", "what is done before sowing or setting", of="raising.treatment"),
    Column("raised", "", "seedlings or struck cuttings, those included that are lost in the nursery", 0),
    Column("planted", "", "plants for the places of the plan", 0),
    Column("replacements", "", "plants for the gaps of those lost in the years before", 0),
    Column("pot_l", "L", "pot; empty where it is sown or set in place", 1),
    Column("shade_months", "month", "months under shade", 1),
    Column("water_l_week", "L/week", "water of all its pots", 0),
    Column("source", "", "where the figures are from", of="raising.source"),
)

CALENDAR_COLUMNS: tuple[Column, ...] = (
    Column("month", "", "month, 1 to 12", 0),
    Column("name", "", "its name"),
    Column("task", "", "what is done"),
)


def plant_rows(growth: Growth) -> list[Row]:
    """Every plant by the names of `PLANT_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a plant, numbered from 1.

    Examples
    --------
    >>> row = plant_rows(growth)[0]
    >>> row["number"], row["swale"]
    (1, 'S1')
    """
    part, rows = growth.design.site.brief.planting, list[Row]()
    years = {role.role: part.calendar_year(role.plant_year) for role in part.years_by_role}
    names = (*(swale.swale for swale in growth.swales), "")
    for swale, plants in zip(names, growth.plantings, strict=True):
        for (x, y), species, row in zip(plants.xy.tolist(), plants.species, plants.row, strict=True):
            place: Row = {"number": len(rows) + 1, "swale": swale, "row": row, "easting_m": x, "northing_m": y}
            rows.append(row_of(species, PLANT_COLUMNS, plant_year=years[species.role], **place))
    return rows


def species_rows(growth: Growth) -> list[Row]:
    """Every species of the brief by the names of `SPECIES_COLUMNS`, those that aren't planted too.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a species, in the order of the brief.

    Examples
    --------
    >>> [row["species"] for row in species_rows(growth)]
    ['bladder senna', 'olive', 'rosemary']
    """
    rows, crops = [], dict(zip(growth.chosen.sheltered, growth.chosen.crops, strict=True))
    for species in growth.chosen.all:
        crop = crops.get(species)
        figures: Row = {
            "plants": growth.counts.get(species, 0),
            "nitrogen_fixing": "yes" if species.nitrogen_fixing else "no",
            "kcb_mid": None if crop is None or crop.kcb is None else crop.kcb[1],
            "kcb_source": "" if crop is None else crop.source,
        }
        rows.append(row_of(species, SPECIES_COLUMNS, **figures))
    return rows


def schedule_rows(growth: Growth) -> list[Row]:
    """Work of each year by the names of `SCHEDULE_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a piece of work, by year.

    Examples
    --------
    >>> schedule_rows(growth)[0]["year"]
    2030
    """
    part = growth.design.site.brief.planting
    return [row_of(work, SCHEDULE_COLUMNS, year=part.calendar_year(work.year)) for work in growth.schedule]


def nursery_rows(growth: Growth) -> list[Row]:
    """Stock by the names of `NURSERY_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a species and planting, gaps of later years too.

    Examples
    --------
    >>> len(nursery_rows(growth)) == len(growth.nursery)
    True
    """
    return [
        row_of(
            line,
            NURSERY_COLUMNS,
            pot_l=line.raising.pot_l if line.potted else None,
            shade_months=line.raising.shade_months if line.potted else None,
        )
        for line in growth.nursery
    ]


def calendar_rows(growth: Growth) -> list[Row]:
    """Work of each month by the names of `CALENDAR_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a task, from January on.

    Examples
    --------
    >>> calendar_rows(growth)[0]["month"] in range(1, 13)
    True
    """
    return [row_of(month, CALENDAR_COLUMNS, task=task) for month in growth.calendar for task in month.tasks]
