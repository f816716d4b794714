"""Ditch-and-berm shape, sizing, overflow sill.

A `Section` is what is dug: bottom width, side slopes, freeboard. `size_swale` finds the depth that stores a given
runoff along a line of `Stations` and gives a `SizedSwale`; `shape_swale` the `ShapedSwale` of a given depth, with
levels of floor, sill and crest; `stage_storage` its storage by level [m³]; `place_sill` and `check_outlet` where a
bigger storm leaves, and whether the ground stands it.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
