from .write import write_gauging as write_gauging
