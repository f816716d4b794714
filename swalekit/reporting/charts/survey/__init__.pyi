from .profile import draw_survey_profile as draw_survey_profile
from .sheets import draw_survey as draw_survey
from .sheets import survey_sheets as survey_sheets
