"""What the commands say: of their results on standard output, of long work on standard error.

A file a command, with a function ``print_…`` that takes a result and the folder it was written to; `print_summary` and
`print_json` tell machines, `progress` shows the stages of the work on a terminal.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
