"""Storm, losses, runoff, and water passed from one store to the next.

How much rain falls, and when: `storm` (`Storm`, `Hyetograph`, `DepthTable`). How much of it runs off: `losses` (`Soil`,
and the methods `CurveNumberLoss`, `GreenAmptLoss`, `ConstantLoss`, `RunoffCoefficient`). What comes of it: `routing`,
where `Stores` in a `Cascade` fill, soak away and spill (`pass_down` by volumes, `route_stores` through time), with
`held_storm_mm`, the deepest storm that leaves none, and `breach_effect`, what a berm that fails sends down. How long a
ditch serves: `silt`. Depths are in mm, volumes in m³, flows in m³/s.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
