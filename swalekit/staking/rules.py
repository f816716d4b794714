"""Where stakes go."""

from dataclasses import dataclass

from swalekit._checks import check_between, check_positive


@dataclass(frozen=True)
class StakeRules:
    """Spacing of stakes and what calls for one in between; the defaults are common practice.

    Parameters
    ----------
    spacing_m : float
        Chainage from stake to stake [m].
    bend_degrees : float
        Turn of the line that is staked [degrees].
    bend_support_m : float
        Length of line over which the turn is measured [m].
    grade_change_m : float
        Change of the ground's height from one stake to the next that needs one in between [m].
    margin_m : float
        How far beyond the edge of the works an offset stake stands [m].

    Raises
    ------
    InputError
        If a length isn't positive, or the turn lies outside 1 to 180 degrees.

    Examples
    --------
    >>> StakeRules(spacing_m=5.0).margin_m
    1.0
    """

    spacing_m: float = 10.0
    bend_degrees: float = 20.0
    bend_support_m: float = 10.0
    grade_change_m: float = 0.05
    margin_m: float = 1.0

    def __post_init__(self) -> None:
        check_positive(
            spacing_m=self.spacing_m,
            bend_support_m=self.bend_support_m,
            grade_change_m=self.grade_change_m,
            margin_m=self.margin_m,
        )
        check_between(1.0, 180.0, bend_degrees=self.bend_degrees)
