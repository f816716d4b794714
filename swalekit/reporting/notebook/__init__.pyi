from .value_views import design_view as design_view
from .value_views import ground_view as ground_view
from .value_views import growth_view as growth_view
