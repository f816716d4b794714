from .gauge_sheet import gauge_sheet as gauge_sheet
from .pieces import Piece as Piece
from .pieces import cut_to_pieces as cut_to_pieces
from .plan import draw_plan as draw_plan
from .profile import draw_profile as draw_profile
from .profile import exaggeration as exaggeration
from .sheets import check_paper as check_paper
from .sheets import stake_sheets as stake_sheets
