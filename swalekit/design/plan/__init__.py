"""A layout carried through its storms: sills, failures, cautions, cost, and the tables that tell it.

`plan` does the whole job from a site and a terrain and gives a `Design` of `Swale`s; `lay_out` and `size_layout` are
its two halves. `swale_row` and `totals` are the tables that every file, map and page reads, `storm_course` the water
through the storm. A `PlanRecord` is a plan as read back from its folder.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
