"""The folder of a budget.

`gather_budget` reads the bills that a plan and what was made of it keep; `write_budget` writes lines, chart, summary.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
