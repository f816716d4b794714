"""A site before any line is laid: what a tile says of it, what its ground suits, and the brief to begin with.

`appraise` parts the ground of a site by what it suits, each cell once, and tells its slopes, its winter sun and what
stands in its hollows; `first_brief` turns a few answers into the settings of a brief, each guess marked as one.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
