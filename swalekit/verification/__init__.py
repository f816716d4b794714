"""What was built, from a survey, against what was designed; and the design, poured over the ground as built.

`check_survey` takes surveyed points and `LaidSwale`s and gives a `SurveyCheck`: for each swale an `AsBuilt` with
the levels of floor, crest and sill, low and high `Spot`s, and the storage and the storm that are left (`held_storms`).
`account_water` pours a storm over the ground as built and gives a `WaterAccount`: what each swale gets, holds and
spills, by the heights of cells alone and without any formula of the sizing.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
