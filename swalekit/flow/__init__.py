"""The flow network, made once per terrain; accumulation, hollows, catchments.

`build_flow_network` gives a `FlowNetwork`: the cell that each cell drains to, and an order from outlets uphill, hollows
filled and flats drained. All else is a loop over it: `accumulate` sums along the way, `first_met` says which line or
hollow each cell reaches first, `longest_paths` how far water runs to it, `watercourse_lines` where streams are.
`disperse_flow` parts the water of a cell between two neighbours: a second opinion on catchments.

`pour_over` pours runoff over `MixedCells` by fill, spill, merge; a `PouredSurface` is made once for many storms.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
