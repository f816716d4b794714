"""GeoPackage: the layers of a design in the CRS of the project."""

from pathlib import Path

import pyogrio

from swalekit.design.design import Design
from swalekit.formats.layers import layers

_FIXED_DATE = "2000-01-01T00:00:00.000Z"
"""Written in place of the time of day, so that the same design gives the same bytes."""


def write_geopackage(design: Design, path: str | Path) -> None:
    """Write every layer of a design, empty ones too.

    Parameters
    ----------
    design : Design
        The design.
    path : str or Path
        File to write.
    """
    pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": _FIXED_DATE})
    try:
        for name, frame in layers(design).items():
            pyogrio.write_dataframe(
                frame,
                path,
                layer=name,
                driver="GPKG",
                geometry_type=frame.attrs["geometry_type"],
                append=Path(path).exists(),
                promote_to_multi=False,
            )
    finally:
        pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": None})
