"""The folder of what was built against the plan.

`write_survey_folder` writes verdicts, low spots with their cure, and the profiles of a survey.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
