"""How much water a stand wants and gets: root zone, daily budget, months, and how many trees that carries.

`stand_of` makes a `Stand` of species and their canopies; `water_budget` follows a `RootZone` day by day (FAO-56) to a
`WaterBudget`; `carrying_capacity` finds how many trees a swale's water carries; `month_table` and `compare_measures`
show the months and what mulch, shade and ditch each do.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
