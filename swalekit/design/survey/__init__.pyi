from .relevel import relevel as relevel
from .stakeout import stake_design as stake_design
from .survey import Survey as Survey
from .survey import survey_design as survey_design
from .survey import survey_rules as survey_rules
