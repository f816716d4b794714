"""Species, canopies, rows and places of plants, and how they follow one another.

A `Species` has its role, canopy, height, roots and what it asks of water; `find_species` reads the catalogue,
`plant_positions` places plants in rows along a swale, `canopy_area_m2` says how large one is by its age, and
`canopies_by_year` how those of each role grow until pioneers are taken out.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
