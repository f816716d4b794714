"""GPX 1.1, for hand-held receivers and phones."""

from pathlib import Path

import gpxpy.gpx
import numpy as np

from swalekit.formats.exchange.wgs84 import longitude_latitude, stakes_on_globe
from swalekit.staking.stake import Stakeout


def write_gpx(stakeout: Stakeout, path: str | Path) -> None:
    """Write a waypoint a stake and a track a swale, without times.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes. Those beside the line are left out: a receiver that reads GPX can't tell them apart.
    path : str or Path
        File to write. Elevations are ground heights in the terrain's datum.

    Examples
    --------
    >>> import tempfile
    >>> from swalekit.design.survey import stake_design
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_gpx(stake_design(design), Path(folder) / "stakes.gpx")
    ...     print((Path(folder) / "stakes.gpx").read_text().count("<trk>"))
    2
    """
    file = gpxpy.gpx.GPX()
    file.creator = "swalekit"
    file.name, file.description = stakeout.site or None, stakeout.issue or None
    for stake, (number, text, place) in zip(stakeout.stakes, stakes_on_globe(stakeout), strict=True):
        longitude, latitude = place.tolist()
        height_m = round(stake.ground_m, 3)
        file.waypoints.append(
            gpxpy.gpx.GPXWaypoint(latitude, longitude, elevation=height_m, name=number, description=text)
        )
    for swale in stakeout.swales:
        xyz = np.column_stack([swale.line.xy, swale.line.ground_m])
        xyz = np.vstack([xyz, xyz[:1]]) if swale.line.closed else xyz
        positions = longitude_latitude(xyz[:, :2], stakeout.crs).tolist()
        segment = gpxpy.gpx.GPXTrackSegment(
            [
                gpxpy.gpx.GPXTrackPoint(latitude, longitude, elevation=height)
                for (longitude, latitude), height in zip(positions, xyz[:, 2].round(3).tolist(), strict=True)
            ]
        )
        track = gpxpy.gpx.GPXTrack(name=swale.id)
        track.segments.append(segment)
        file.tracks.append(track)
    Path(path).write_text(file.to_xml(version="1.1") + "\n", encoding="utf-8")
