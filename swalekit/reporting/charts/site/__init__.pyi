from .sheet import site_sheet as site_sheet
