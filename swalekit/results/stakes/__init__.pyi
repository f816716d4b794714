from .write import write_stakeout as write_stakeout
