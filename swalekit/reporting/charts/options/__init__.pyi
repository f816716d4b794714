from .comparison import comparison_sheet as comparison_sheet
from .comparison import draw_comparison as draw_comparison
from .comparison import draw_option_key as draw_option_key
from .comparison import draw_options as draw_options
from .maps import draw_option as draw_option
from .maps import option_maps as option_maps
from .trade_off import draw_trade_off as draw_trade_off
