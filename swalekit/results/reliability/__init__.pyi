from .write import write_reliability as write_reliability
