"""Microcatchments: a basin a tree, where level ditches don't suit the ground or the rain.

`negarim` and `semicircle` hold the published measures of a unit, `sizing` the size that a tree's water asks for. An
`OpenGround` says where units may lie; `fall_of` reads which way it falls, `fall_blocks` parts it into blocks of one
fall, and `lay_negarim` and `lay_semicircles` lay `Units` on it, each with its levels, bund, and water.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
