from .maps import stage_maps as stage_maps
