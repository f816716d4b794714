"""Paper, palette, lettering, tables on a sheet, and figures saved the same to the byte.

`blank_sheet` and `axes_on` lay out a sheet in millimetres, `draw_table` sets a table, `place_labels` keeps labels clear
of one another, `draw_typical_section` draws the section to scale, and `save_png` and `save_pdf` write
what was drawn.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
