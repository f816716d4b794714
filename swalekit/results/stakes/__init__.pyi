from .drawings import draw_long_profile as draw_long_profile
from .drawings import draw_section as draw_section
from .drawings import draw_stakes as draw_stakes
from .write import write_relevelled as write_relevelled
from .write import write_stakeout as write_stakeout
