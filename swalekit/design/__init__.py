"""Site and Terrain go in, Design comes out: this room adds and orders, it does not calculate.

The brief becomes a `Site` in `brief`, the ground is studied and lines are laid in `layout`, storms are run over them in
`plan`. Beside one another above it: `options` compares layouts, `reliability` says how sure one is, `growth` plants it,
and `survey` sets it out and checks what was built.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
