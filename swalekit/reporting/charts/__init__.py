"""Charts by subject.

Of the rain and the site's water (`storm`), of compared layouts (`options`), of the water for trees (`growth`), of how
sure a plan is (`reliability`), of what was built (`survey`), of what it costs (`budget`), and of what
was taken off a surface (`surface`).
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
