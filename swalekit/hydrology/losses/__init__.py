"""What soaks in and what runs off: methods of losses, soils and their zones, tests on site.

A `Loss` turns rain into runoff [mm], as a total (`runoff_mm`) and step by step through a storm; each method is
a file. A `Soil` holds the losses of its classes and the intake of a ditch's floor [mm/h], a `SoilZone` says where
another soil lies, and `fit_infiltration_test` reads rates from a ring test.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
