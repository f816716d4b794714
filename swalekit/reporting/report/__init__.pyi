from .page import report_html as report_html
from .sheets import report_sheets as report_sheets
from .text_sheets import text_sheets as text_sheets
