"""Silt: soil that the rain of a year washes off a slope, and the years until a ditch is full of it.

`soil_loss_t_ha` multiplies the factors of the universal soil loss equation, of which `rain_erosivity` and
`slope_factor` give two [t/ha a year]; `ServiceLife` tells what storage [m³] is left after how many years.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
