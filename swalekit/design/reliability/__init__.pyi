from .reliability import Reliability as Reliability
from .reliability import how_sure as how_sure
from .table import input_rows as input_rows
from .table import matters_most as matters_most
from .table import moisture_words as moisture_words
from .table import reliability_cautions as reliability_cautions
from .table import reliability_rows as reliability_rows
from .table import reliability_summary as reliability_summary
