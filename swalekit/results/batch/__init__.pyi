from .run import Batch as Batch
from .run import plan_sites as plan_sites
