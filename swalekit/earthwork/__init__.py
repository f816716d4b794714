"""Volumes, balance, design surface, cost.

`measure_quantities` gives the `Quantities` of a swale (bank cut, compacted fill, loose soil [m³]), `swale_cost` and
`job_cost` what they cost at given `Rates`, and `build_design_surface` the heights of the ground as built with what is
cut and filled in each cell (`DesignSurface`).
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
