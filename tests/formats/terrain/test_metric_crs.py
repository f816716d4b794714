"""CRS that can carry a plan."""

import pytest
from pyproj import CRS, Transformer

from swalekit.formats.terrain.metric_crs import unfit_reason, utm_crs


@pytest.mark.parametrize(
    ("longitude", "latitude", "epsg"),
    [
        (9, 0, 32632),
        (9, 48, 32632),
        (-111, 33, 32612),
        (-112.5, 33.4, 32612),
        (0, 0, 32631),
        (179.9, -10, 32760),
        (-180, 10, 32601),
        (180, 10, 32601),
        (2.9, 60, 32631),
        (3, 56, 32632),
        (11.9, 63.9, 32632),
        (5, 64, 32631),
        (8.9, 78, 32631),
        (9, 78, 32633),
        (21, 78, 32635),
        (10, 71.9, 32632),
        (10, 72, 32633),
        (32.9, 72, 32635),
        (33, 83.9, 32637),
        (42, 78, 32638),
    ],
)
def test_utm_zones(longitude, latitude, epsg):
    """Zones, hemispheres and the exceptions of Norway and Svalbard (Snyder 1987, section 8; from memory)."""
    assert utm_crs(longitude, latitude).to_epsg() == epsg


@pytest.mark.parametrize(
    ("longitude", "latitude", "x_m", "y_m"),
    [
        (9, 0, 500_000.0, 0.0),
        (9, 48, 500_000.0, 5_316_300.2245),
        (-111, 33, 500_000.0, 3_651_286.9440),
        (-112.5, 33.4, 360_505.6199, 3_696_637.7119),
    ],
)
def test_utm_coordinates(longitude, latitude, x_m, y_m):
    """Easting and northing as PROJ 9.5.1 gives them, to a tenth of a millimetre."""
    to_utm = Transformer.from_crs("EPSG:4326", utm_crs(longitude, latitude), always_xy=True)
    assert to_utm.transform(longitude, latitude) == pytest.approx((x_m, y_m), abs=1e-4)


def test_national_grids_are_fit():
    """UTM, a national transverse Mercator and a conic map all keep their metres within 1 %."""
    assert unfit_reason(CRS("EPSG:32612"), -112.5, 33.4) == ""
    assert unfit_reason(CRS("EPSG:27700"), -2.0, 52.0) == ""
    assert unfit_reason(CRS("EPSG:2154"), 3.0, 46.0) == ""
