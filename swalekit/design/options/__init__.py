"""Layouts side by side: what may vary, what each gives, limits, and the search for the best.

`axes_of` and `grid_of` make the `Variation`s of a brief, `compare` lays out all of them, `search` finds the best
within `Limits` without laying out all; both give a `Comparison` of `Option`s. `spacing_rules_of` sets published spacing
rules side by side on the slopes of a site.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
