"""GeoJSON by RFC 7946: WGS 84 longitude and latitude, for any web map or phone."""

from pathlib import Path

import pyogrio

from swalekit.design.design import Design
from swalekit.formats.layers import swale_layer

_DECIMALS = 7  # about a centimetre


def write_geojson(design: Design, path: str | Path) -> None:
    """Write the level lines with the figures of every swale.

    Parameters
    ----------
    design : Design
        The design.
    path : str or Path
        File to write.
    """
    frame = swale_layer(design)
    pyogrio.write_dataframe(
        frame,
        path,
        driver="GeoJSON",
        geometry_type=frame.attrs["geometry_type"],
        layer_options={"RFC7946": "YES", "COORDINATE_PRECISION": str(_DECIMALS), "WRITE_NAME": "NO"},
    )
