"""Level lines: which levels, where they run, and why some stretches were refused.

`lay_lines` traces every line of the chosen levels over a terrain (`levels_by_interval`, `levels_by_spacing`), cuts it
by slope, keep-outs, boundary and bends (`LineRules`, `KeepOut`), and gives `LevelLine`s, one row of stations each, and
`RefusedLine`s with their reason. `horizontal_interval_m`, `wedge_spacing_m` and `ratio_spacing_m` say how far apart
lines may be, `laid_spacing` how far apart they came to lie; `wander_m` says how far a height error moves one.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
