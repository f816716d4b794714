from .brief import read_brief as read_brief
from .records import records_of as records_of
from .site import read_site as read_site
from .site import site_from_values as site_from_values
from .site import site_of as site_of
from .site import terrain_of as terrain_of
from .sites_csv import SiteRow as SiteRow
from .sites_csv import read_sites as read_sites
