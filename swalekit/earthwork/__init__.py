"""Volumes, balance, ground as built, cost.

`measure_quantities` gives the `Quantities` of a swale (bank cut, compacted fill, loose soil [m³]), `swale_cost` and
`job_cost` what they cost at given `Rates`, and `build_ground` the heights of the ground as built, finer round
the works, with what each swale cuts and fills (`BuiltGround`).
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
