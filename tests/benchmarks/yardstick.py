"""The tile that speed is measured on."""

import numpy as np
from numpy.typing import NDArray
from scipy import fft

CELL_M = 0.5


def yardstick_heights(size: int, seed: int = 1) -> NDArray[np.float32]:
    """Rolling hills with detail at every scale, tilted to the south-west, under 2 cm of survey noise.

    Amplitudes fall with the square of the frequency, so slopes (about 1 in 6 on average) do not depend on the size;
    at 4096 cells of 0.5 m (4.2 km²) the relief is about 200 m.

    Parameters
    ----------
    size : int
        Rows and columns, cells of 0.5 m.
    seed : int
        Seed of the random surface.

    Returns
    -------
    heights : ndarray of float32, shape (size, size)
        Ground heights [m].
    """
    rng = np.random.default_rng(seed)
    spectrum = fft.rfft2(rng.standard_normal((size, size), dtype=np.float32), overwrite_x=True)
    frequency = np.hypot(fft.fftfreq(size)[:, None], fft.rfftfreq(size)[None, :]).astype(np.float32)
    frequency[0, 0] = np.inf
    spectrum /= np.maximum(frequency, 1.0 / size) ** 2
    heights = fft.irfft2(spectrum, s=(size, size), overwrite_x=True).astype(np.float32)
    side_m = size * CELL_M
    heights *= np.float32(0.016 * side_m / heights.std())
    ramp = np.linspace(0.0, 0.04 * side_m, size, dtype=np.float32)
    heights += ramp[None, :] - ramp[:, None]
    heights += np.float32(0.02) * rng.standard_normal((size, size), dtype=np.float32)
    return heights
