from . import budget as budget
from . import growth as growth
from . import options as options
from . import reliability as reliability
from . import site as site
from . import storm as storm
from . import surface as surface
from . import survey as survey
