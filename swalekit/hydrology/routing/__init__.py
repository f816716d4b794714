"""Water on its way: travel time, inflow, stores that fill and spill, sills, breach.

`Stores` are ditches and hollows with their volume by level (`StageStorage`); a `Cascade` says which spills into which.
`pass_down` and `held_storm_mm` count volumes [m³], `route_stores` carries a storm through time and gives a `Routed`,
`storm_outcome` a `StormOutcome`, `breach_effect` what one that fails sends to those below. `overland_travel_h`,
`lag_concentration_h` and `unit_hydrograph` say how fast runoff arrives.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
