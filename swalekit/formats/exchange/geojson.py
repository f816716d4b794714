"""GeoJSON by RFC 7946: WGS 84 longitude and latitude, for any web map or phone."""

from pathlib import Path

import geopandas
import pyogrio

_DECIMALS = 7  # about a centimetre


def write_geojson(frame: geopandas.GeoDataFrame, path: str | Path) -> None:
    """Write a layer with the figures of every feature.

    Parameters
    ----------
    frame : GeoDataFrame
        Features, whose ``attrs`` name their ``geometry_type``.
    path : str or Path
        File to write.
    """
    pyogrio.write_dataframe(
        frame,
        path,
        driver="GeoJSON",
        geometry_type=frame.attrs["geometry_type"],
        layer_options={"RFC7946": "YES", "COORDINATE_PRECISION": str(_DECIMALS), "WRITE_NAME": "NO"},
    )
