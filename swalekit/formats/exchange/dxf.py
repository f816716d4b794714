"""DXF (R2010), for CAD and survey software."""

import math
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import ezdxf
import numpy as np
from ezdxf import units
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.layouts import Modelspace
from numpy.typing import NDArray

from swalekit.staking.breaklines import breaklines
from swalekit.staking.stake import Stakeout

STAKES, OFFSETS, LABELS = "STAKES", "STAKE OFFSETS", "STAKE LABELS"

LAYERS: dict[str, int] = {
    "DITCH CENTRE": 5,
    "DITCH EDGE": 4,
    "BERM TOE": 3,
    "BERM CREST": 1,
    "BERM RETURN": 3,
    "SILL": 6,
    STAKES: 7,
    OFFSETS: 8,
    LABELS: 7,
}
"""Layers and their colour in the AutoCAD colour index; the first six are kinds of `breaklines`."""
CROSSING_LAYERS = {"CROSSING EDGE": 2, "PIPE": 30}
"""The other kinds, where there are such."""

_TEXT_HEIGHT_M = 0.5
_CLASSES = ("ACDBDICTIONARYWDFLT", "ACDBPLACEHOLDER", "LAYOUT")
"""Classes of objects that every drawing declares."""
_CROSS = 3  # $PDMODE of points drawn as crosses
_CROSS_SIZE_M = 0.4


def write_dxf(stakeout: Stakeout, path: str | Path) -> None:
    """Write the edges of the works as 3-D polylines, and the stakes as points on the ground with their numbers.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes.
    path : str or Path
        File to write, in metres. The label of a stake on the line gives its dig depth too [m]. Offset stakes off the
        tile, where the ground's height isn't known, are left out.

    Notes
    -----
    Creation dates and identifiers are fixed, so that the same stakes give the same bytes.

    Examples
    --------
    >>> import tempfile
    >>> from swalekit.design.survey import stake_design
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_dxf(stake_design(design), Path(folder) / "stakes.dxf")
    ...     print(len(ezdxf.readfile(Path(folder) / "stakes.dxf").modelspace().query("POLYLINE")) > 0)
    True
    """
    with _fixed_meta_data():
        drawing = ezdxf.new("R2010", units=units.M)
        drawing.header["$PDMODE"] = _CROSS
        drawing.header["$PDSIZE"] = _CROSS_SIZE_M
        if stakeout.issue:
            drawing.header.custom_vars.append("Title", stakeout.site)
            drawing.header.custom_vars.append("Issue", stakeout.issue)
        edges = [edge for swale in stakeout.swales for edge in breaklines(swale)]
        kinds = {edge.kind.upper() for edge in edges}
        crossed = {name: colour for name, colour in CROSSING_LAYERS.items() if name in kinds}
        for name, colour in (LAYERS | crossed).items():
            drawing.layers.add(name, color=colour)
        space = drawing.modelspace()
        for edge in edges:
            space.add_polyline3d(edge.xyz.round(4).tolist(), close=edge.closed, dxfattribs={"layer": edge.kind.upper()})
        for stake in stakeout.stakes:
            _add_stake(space, (stake.x_m, stake.y_m, stake.ground_m), f"{stake.number} dig {stake.dig_m:.2f}", STAKES)
            for _, offset in stake.offsets:
                if math.isfinite(offset.ground_m):
                    _add_stake(space, (offset.x_m, offset.y_m, offset.ground_m), str(offset.number), OFFSETS)
        if edges:
            _show_all(drawing, np.concatenate([edge.xyz for edge in edges]))
        for name in _CLASSES:  # else in the order of a set, another in every process
            drawing.classes.add_class(name)
        drawing.saveas(path)


def _add_stake(space: Modelspace, place: tuple[float, float, float], label: str, layer: str) -> None:
    """A point on the ground, and beside it the label."""
    x, y, z = (round(coordinate, 4) for coordinate in place)
    space.add_point((x, y, z), dxfattribs={"layer": layer})
    text = space.add_text(label, height=_TEXT_HEIGHT_M, dxfattribs={"layer": LABELS})
    text.set_placement((x + _TEXT_HEIGHT_M, y, z), align=TextEntityAlignment.MIDDLE_LEFT)


def _show_all(drawing: Drawing, xyz: NDArray[np.float64]) -> None:
    """Open the drawing where the works are, far from its origin."""
    low, high = xyz.min(axis=0), xyz.max(axis=0)
    drawing.modelspace().reset_extents(low.tolist(), high.tolist())
    width_m, height_m = (high - low)[:2].tolist()
    drawing.set_modelspace_vport(height=1.1 * max(width_m, height_m), center=((low + high) / 2.0)[:2].tolist())


@contextmanager
def _fixed_meta_data() -> Iterator[None]:
    """Let ezdxf give fixed dates and identifiers to a drawing made and saved meanwhile."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
