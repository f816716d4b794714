"""Swales along their lines, as designed and as surveyed.

`draw_survey` shows floor, crest and sill along one swale against the design; `survey_sheets` prints them all.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
