"""The brief: its parts, what is wrong with it, the site that it describes, and the settings that follow from it.

A `Brief` is one frozen part a table of the brief's file, checked on creation; a `Site` adds the values of the files
that the brief names. `storm_of`, `soil_of`, `section_of`, `line_rules_of` and `rates_of` turn the words of a site into
the values that the stages below take.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
