from .bed import Bed as Bed
from .bed import BedRules as BedRules
from .bed import bed_practice as bed_practice
from .bed import levelled_from as levelled_from
from .ground import fall_within as fall_within
from .ground import steepness_m2 as steepness_m2
from .lay import lay_beds as lay_beds
