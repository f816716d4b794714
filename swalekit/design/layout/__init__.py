"""Which levels, where their lines run, and how deep the swales on them are.

`check_fit` refuses a tile that can't carry level ditches. `study_ground` makes the `Ground` once for a terrain: flow
network, slopes, hollows. `choose_levels` and `matched_levels` place the lines, `lay_levels` lays them out to a `Layout`
with the ground that drains to each, and `measure_layout` sizes it to a `SizedLayout` of `DugSwale`s.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
