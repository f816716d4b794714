"""The errors swalekit raises.

::

    SwalekitError
    ├── InputError (also a ValueError)   a value breaks a rule
    │   ├── BriefError                   the site brief
    │   ├── TerrainError                 the terrain tile
    │   └── GeometryError                boundary, keep-outs, soil polygons
    └── OutputError (also an OSError)    the result can't be written

Every message says what is wrong, where, the value found, and the way out, in one line.
"""


class SwalekitError(Exception):
    """Root of all errors that swalekit raises on purpose."""


class InputError(SwalekitError, ValueError):
    """A value that was given breaks a rule."""


class BriefError(InputError):
    """The site brief can't be used as it stands."""


class TerrainError(InputError):
    """The terrain tile can't be used as it stands."""


class GeometryError(InputError):
    """A boundary, keep-out or soil polygon can't be used as it stands."""


class OutputError(SwalekitError, OSError):
    """A result can't be written where it was asked for."""
