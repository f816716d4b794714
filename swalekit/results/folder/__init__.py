"""The folder of a result: written whole, sealed, and what it was made from.

`result_folder` gives a folder that appears whole or not at all; `seal` lists every file with its hash and
`is_as_written` says whether one was changed since; `made_from` and `versions` say what went in.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
