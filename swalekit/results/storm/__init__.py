"""The folder of a storm analysis.

`write_storm` writes depth by duration and return period, the record that it comes from, and the course of the design
storm.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
