from .interim import interim_design as interim_design
from .order import even_stages as even_stages
from .order import stages_within as stages_within
from .staged import BuildingStage as BuildingStage
from .staged import Staged as Staged
from .staged import as_staged as as_staged
from .staged import build_in_stages as build_in_stages
from .staged import in_stages as in_stages
