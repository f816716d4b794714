"""Heights on a grid: condition, slope, sample.

A `Terrain` is a `Grid` with heights [m], voids as NaN, and the standard error of its heights. `slope` and `gradient`
say how steep it is [m/m], `sample_heights` reads it between cells, `bare_ground`, `coarsen` and `fill_small_voids`
make it fit for tracing, and `fitness` says what its cells and their error can carry. `SurveyPoints` are points measured
on it: `judged_by_points` says by them how good it is, and corrects it.
"""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
