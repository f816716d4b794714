from .write import write_survey_folder as write_survey_folder
