from .gather import Gathered as Gathered
from .gather import gather_budget as gather_budget
from .write import write_budget as write_budget
