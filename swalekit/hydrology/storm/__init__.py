"""Rain: depth by duration and return period, and the course of a storm.

A `Storm` is the depth of a design storm and of a larger check storm [mm]; a `Hyetograph` is its rain step by step
(`uniform_storm`, `nrcs_storm`, `alternating_block`). Depths come from a `DepthTable` of an atlas or, by
`analyse_frequency`, from the yearly greatest rain of a `DailyRecord`, with a band of confidence.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
