"""Maps of a site as it stands after each season of building: `stage_maps`."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
