"""The report: one page for a browser, and sheets to print.

`report_html` gives one page that opens without a network; `report_sheets` and `text_sheets` give the same on paper.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
