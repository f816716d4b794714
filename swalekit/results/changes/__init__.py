"""The folder that tells what changed from one plan to another.

`what_changed` puts two plans side by side, by the names of their lines; `draw_changes` draws both on one map;
`write_changes` writes table, map and summary.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
