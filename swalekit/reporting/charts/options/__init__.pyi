from .comparison_chart import OptionPoint as OptionPoint
from .comparison_chart import draw_comparison as draw_comparison
from .comparison_sheet import comparison_sheet as comparison_sheet
from .option_drawings import draw_option as draw_option
from .option_drawings import draw_options as draw_options
from .option_key import draw_option_key as draw_option_key
from .option_maps import option_maps as option_maps
from .trade_off_chart import draw_trade_off as draw_trade_off
