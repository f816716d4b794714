from . import charts as charts
from . import map as map
from . import notebook as notebook
from . import paper as paper
from . import report as report
from . import stakes as stakes
from . import words as words
