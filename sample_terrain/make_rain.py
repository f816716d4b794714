"""Write the sample site's daily rain: invented, seeded, with the seasons and the rare hard days of a dry climate.

Run as ``python sample_terrain/make_rain.py``; the same bytes come out each time.
"""

from pathlib import Path

import numpy as np

YEARS = range(1991, 2025)
WET_SHARE = (0.15, 0.14, 0.15, 0.16, 0.11, 0.05, 0.01, 0.02, 0.09, 0.15, 0.17, 0.16)
"""Share of days with rain, January to December."""
MEAN_DEPTH_MM = (5.0, 5.0, 5.0, 5.5, 5.5, 6.0, 6.0, 8.0, 11.0, 9.0, 7.0, 6.0)
"""Mean depth of a day with rain [mm]; late summer and autumn bring the storms."""
SHAPE = 0.55
"""Shape of the gamma distribution of depths: below one, so that few days bring most of the rain."""


def main() -> None:
    """Write ``rain.csv`` beside this file, one row a day."""
    random = np.random.default_rng(1991)
    days = np.arange(np.datetime64(f"{YEARS.start}-01-01"), np.datetime64(f"{YEARS.stop}-01-01"))
    month = days.astype("datetime64[M]").astype(int) % 12
    wet = random.random(days.size) < np.array(WET_SHARE)[month]
    depth_mm = random.gamma(SHAPE, np.array(MEAN_DEPTH_MM)[month] / SHAPE)
    rows = [f"{day},{depth:.1f}" for day, depth in zip(days, np.where(wet, depth_mm, 0.0), strict=True)]
    text = "\n".join(["date,rain_mm", *rows]) + "\n"
    Path(__file__).with_name("rain.csv").write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main()
