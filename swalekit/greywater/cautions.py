"""What to look out for with the water of a house."""

from swalekit.greywater.household_flow import Household, known_sources
from swalekit.tables.load import named_row


def greywater_cautions(household: Household) -> dict[str, str]:
    """Cautions by a short name, each with its reason.

    Parameters
    ----------
    household : Household
        Its people and sources: a large flow and unusual sources raise cautions of their own.

    Returns
    -------
    dict of str to str
        Name and text.

    Examples
    --------
    >>> list(greywater_cautions(Household(4)))
    ['storm ditch', 'codes', 'health', 'storage', 'soap', 'clearances', 'compost toilet']
    >>> list(greywater_cautions(Household(4, ("bathing", "kitchen"))))[-1]
    'kitchen or toilet water'
    """
    cautions = {
        "storm ditch": (
            "never lead greywater into a swale or any ditch that takes storm water: in a storm it spills, and carries "
            "the house's germs to neighbours and streams"
        ),
        "codes": (
            "ask the local authority first: many codes ask for a permit, subsurface outlets, a valve to the sewer and "
            "a licensed plumber, and some forbid greywater"
        ),
        "health": (
            "greywater carries germs even behind a reed bed: let it out under mulch or soil, never by sprinkler, never "
            "on what is eaten raw or touches the ground, and keep children and animals off the bed"
        ),
        "storage": (
            f"don't keep untreated greywater longer than {_practice('storage of untreated greywater'):g} hours: "
            "it turns foul"
        ),
        "soap": "use soap and detergent low in sodium and without boron, and watch clay soils for salt and sealing",
        "clearances": (
            f"stay {_practice('well'):g} m from wells, {_practice('stream or lake'):g} m from streams and "
            f"{_practice('water table'):g} m above the water table, or as the local code says"
        ),
        "compost toilet": (
            f"toilet compost goes to trees only, after {_practice('compost toilet waiting'):g} months of rest unless "
            "it was hot-composted, and as local rules say: eggs of worms live long"
        ),
    }
    greatest = _practice("permit-free flow")
    flow_l_d = 1000.0 * household.flow_m3_d
    if flow_l_d > greatest:
        cautions["large flow"] = (
            f"{flow_l_d:.0f} L a day is above the {greatest:.0f} L that Arizona lets a house use without a permit of "
            "its own; expect an engineered system to be asked for"
        )
    unusual = [name for name in household.sources if not known_sources()[name].by_default]
    if unusual:
        cautions["kitchen or toilet water"] = (
            f"{', '.join(unusual)} water counts as blackwater in most codes: grease and food clog beds, and excreta "
            "carry disease; leave it in the sewer or have a licensed system designed"
        )
    return cautions


def _practice(name: str) -> float:
    return named_row("greywater_practice", practice=name).value
