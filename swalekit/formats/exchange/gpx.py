"""GPX 1.1, for hand-held receivers and phones."""

from pathlib import Path

import gpxpy.gpx
import numpy as np

from swalekit.formats.exchange.wgs84 import longitude_latitude
from swalekit.staking.stake import Stakeout


def write_gpx(stakeout: Stakeout, path: str | Path) -> None:
    """Write a waypoint a stake and a track a swale, without times.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes. Those beside the line are left out: a receiver that reads GPX can't tell them apart.
    path : str or Path
        File to write. Elevations are ground heights in the terrain's datum.
    """
    file = gpxpy.gpx.GPX()
    file.creator = "swalekit"
    stakes = stakeout.stakes
    places = longitude_latitude(np.array([(each.x_m, each.y_m) for each in stakes]).reshape(-1, 2), stakeout.crs)
    for stake, (longitude, latitude) in zip(stakes, places.tolist(), strict=True):
        file.waypoints.append(
            gpxpy.gpx.GPXWaypoint(
                latitude,
                longitude,
                elevation=round(stake.ground_m, 3),
                name=str(stake.number),
                description=f"{stake.swale} {stake.chainage_m:.1f} m, {stake.mark}, dig {stake.dig_m:.2f} m",
            )
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
