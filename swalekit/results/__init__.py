"""What each result consists of, written whole or not at all.

A room a result: `plan`, `options`, `stakes`, `survey`, `growth`, `reliability`, `storm` and `batch`; each has one
function `write_…` that takes a value and a folder. `folder` is the folder itself, with its seal and what it was made
from; the module `notebook` says how values show themselves.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
