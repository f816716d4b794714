"""Weather days, made years, and reference evapotranspiration.

A `Weather` is a record of days with rain [mm] and what else was read (`Readings`) at a `Place`; `reference_et` gives
the water that a reference crop takes [mm/d] by the best method that the readings allow, and `made_years` draws daily
rain from monthly normals.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
