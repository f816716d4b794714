"""The water of the house: how much there is, the reed bed that cleans it, and the ground it reaches by gravity.

A `Household` says how much water comes [m³/d] and how dirty it is; `size_reed_bed` gives the `ReedBed` that cleans it,
`bed_places` where it may sit (`BedPlace`), `served_ground` the ground below that its water reaches (`ServedGround`),
and `pipe_route` the cheapest trench (`PipeRoute`).
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
