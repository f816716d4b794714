"""Write the sample site's monthly normals: invented, seeded, with the rain of ``rain.csv``.

Run as ``python sample_terrain/make_weather.py`` after ``make_rain.py``; the same bytes come out each time.
"""

import csv
from pathlib import Path

import numpy as np

MEAN_C, SWING_C = 16.2, 8.6
"""Mean of the year, and how far the warmest and the coldest month lie from it [°C]."""
WARMEST = 7.1
"""Month of greatest warmth, counted from the middle of January as 1."""
SPREAD_C, SPREAD_SWING_C = 13.0, 3.0
"""Mean difference of day and night, and what it grows by in summer [°C]."""
HUMIDITY_PERCENT, HUMIDITY_SWING_PERCENT = 60.0, 10.0
SUNSHINE_H, SUNSHINE_SWING_H = 8.3, 2.6
WIND_M_S = 2.3


def main() -> None:
    """Write ``weather.csv`` beside this file, one row a month."""
    random = np.random.default_rng(37)
    here = Path(__file__).parent
    rain_mm, rain_days = _rain(here / "rain.csv")
    warmth = np.cos((np.arange(1, 13) - WARMEST) * np.pi / 6.0)
    mean_c = MEAN_C + SWING_C * warmth + 0.2 * random.standard_normal(12)
    half_c = 0.5 * (SPREAD_C + SPREAD_SWING_C * warmth)
    columns = {
        "month": np.arange(1, 13),
        "tmax_c": mean_c + half_c,
        "tmin_c": mean_c - half_c,
        "rain_mm": rain_mm,
        "rain_days": rain_days,
        "rh_mean_percent": HUMIDITY_PERCENT - HUMIDITY_SWING_PERCENT * warmth + random.standard_normal(12),
        "wind_m_s": WIND_M_S + 0.15 * random.standard_normal(12),
        "sunshine_h": SUNSHINE_H + SUNSHINE_SWING_H * warmth + 0.15 * random.standard_normal(12),
    }
    rows = [",".join(f"{value:.{1 if name != 'month' else 0}f}" for name, value in zip(columns, row, strict=True))
            for row in zip(*columns.values(), strict=True)]  # fmt: skip
    text = "\n".join([",".join(columns), *rows]) + "\n"
    (here / "weather.csv").write_text(text, encoding="utf-8", newline="\n")


def _rain(path: Path) -> tuple[np.ndarray, np.ndarray]:
    """Mean rain and mean number of days with rain of each month."""
    with path.open(encoding="utf-8") as file:
        days = [(int(row["date"][:4]), int(row["date"][5:7]), float(row["rain_mm"])) for row in csv.DictReader(file)]
    year, month, depth = (np.array(each) for each in zip(*days, strict=True))
    years = len(np.unique(year))
    return tuple(
        np.bincount(month, weights, minlength=13)[1:] / years for weights in (depth, (depth > 0).astype(float))
    )


if __name__ == "__main__":
    main()
