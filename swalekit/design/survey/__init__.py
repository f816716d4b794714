"""The plan on site: stakes set out, lines cut anew to levelled points, what was built against the design.

`stake_design` gives the `Stakeout` that a crew builds from, `relevel` cuts the lines anew through stakes that were
moved to one level, and `survey_design` judges surveyed points against the design and gives a `Survey`.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
