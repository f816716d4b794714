from .write import write_mended as write_mended
from .write import write_trials as write_trials
