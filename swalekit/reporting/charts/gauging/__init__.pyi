from .runoff import draw_gauging as draw_gauging
from .runoff import gauge_chart as gauge_chart
