"""Seasons of building: the order from the top down, what each costs, and how the site stands after it.

`build_in_stages` gives a `Staged` design of `BuildingStage`s, as the brief's ``[stages]`` or the lines themselves ask;
`interim_design` plans some swales of a design by themselves.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
