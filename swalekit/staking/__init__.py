"""Stakes on the level lines, and the lines of the works in space, for the crew that builds them.

`stake_out` takes `LaidSwale`s and `StakeRules` and gives a `Stakeout` of `Stake`s with dig and fill, and
`OffsetStake`s beside the works; `breaklines` gives lips, toes and crests in space, `triangulate` the surface between
them (`Tin`).
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
