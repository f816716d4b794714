"""One loss of each method, for tests that hold for all of them."""

from swalekit.hydrology.losses.losses import ConstantLoss, CurveNumberLoss, GreenAmptLoss, Loss, RunoffCoefficient

LOSSES: tuple[Loss, ...] = (
    CurveNumberLoss(80.0),
    GreenAmptLoss(conductivity_mm_h=10.9, suction_mm=110.1, moisture_deficit=0.25),
    ConstantLoss(initial_mm=8.0, rate_mm_h=6.0),
    RunoffCoefficient(0.3),
)


def name_of(loss: Loss) -> str:
    """Name of a test case."""
    return type(loss).__name__
