"""What a site costs: bills of quantities of the works and of the planting, and one budget over all.

`works_bill` lists what the swales take; rooms above have bills of their own. `budget_of` gathers them with a range and
a share for what nobody saw.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
