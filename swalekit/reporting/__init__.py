"""Maps and charts. A drawing function takes a value and axes and gives the axes back.

`paper` holds sheets, palette and lettering, `map` the map, `charts` the charts by subject, `stakes` the crew's sheets,
`report` the client's page, `notebook` values as a notebook shows them, and `words` the sentences that all of them
share.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
