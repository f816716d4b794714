from .record_profile import draw_record_profile as draw_record_profile
from .survey_profile import draw_survey as draw_survey
from .survey_sheets import survey_sheets as survey_sheets
