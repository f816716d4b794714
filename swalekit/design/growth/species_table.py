"""The species of a planting: what is known of each, and from where."""

from swalekit.design.growth.growth import Growth
from swalekit.design.plan.columns import Column, Entry, row_of

SPECIES_COLUMNS: tuple[Column, ...] = (
    Column("species", "", "common name"),
    Column("binomial", "", "botanical name"),
    Column("role", "", "pioneer, fruit or ground cover"),
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


def species_rows(growth: Growth) -> list[dict[str, Entry]]:
    """Every species of the brief by the names of `SPECIES_COLUMNS`, those that aren't planted too."""
    crops = dict(zip(growth.chosen.sheltered, growth.chosen.crops, strict=True))
    rows = []
    for species in growth.chosen.all:
        crop = crops.get(species)
        figures: dict[str, Entry] = vars(species) | {
            "species": species.name,
            "plants": growth.counts.get(species, 0),
            "nitrogen_fixing": "yes" if species.nitrogen_fixing else "no",
            "kcb_mid": None if crop is None or crop.kcb is None else crop.kcb[1],
            "kcb_source": "" if crop is None else crop.source,
        }
        rows.append(row_of({column.name: figures[column.name] for column in SPECIES_COLUMNS}, SPECIES_COLUMNS))
    return rows
