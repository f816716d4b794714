"""swalekit: from a terrain tile to sized, costed level ditches on contour.

What it offers stands in ``__init__.pyi`` beside this file, and likewise in each of its rooms; it is imported when first
used, so that ``import swalekit`` is quick. Where IPython runs, as in a notebook, values show themselves as tables and
maps; ``%load_ext swalekit`` asks for the same.
"""

import sys

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)

_shell = getattr(sys.modules.get("IPython"), "get_ipython", lambda: None)()
if _shell is not None:
    __getattr__("load_ipython_extension")(_shell)
