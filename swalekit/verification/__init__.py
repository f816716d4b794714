"""What was built, from a survey, against what was designed.

`check_survey` takes surveyed points and `LaidSwale`s and gives a `SurveyCheck`: for each swale an `AsBuilt` with
the levels of floor, crest and sill, low and high `Spot`s, and the storage and the storm that are left (`held_storms`).
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
