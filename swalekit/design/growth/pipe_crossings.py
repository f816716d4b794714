"""What the greywater pipe and the ground it serves cross."""

import numpy as np
import shapely

from swalekit.contours.polyline import chainages
from swalekit.design.growth.greywater import Greywater
from swalekit.design.plan.design import Design


def swales_crossed(design: Design, greywater: Greywater) -> list[str]:
    """Swales whose ditch the pipe to the bed crosses above its floor."""
    route = greywater.route
    if route is None or len(route.xy) < 2:
        return []
    pipe, walked = shapely.LineString(route.xy), chainages(route.xy)
    crossed = []
    for swale in design.swales:
        met = pipe.intersection(shapely.LineString(swale.line.path))
        points = shapely.get_coordinates(met)
        inverts_m = [float(np.interp(pipe.project(shapely.Point(xy)), walked, route.invert_m)) for xy in points]
        if inverts_m and max(inverts_m) > swale.sized.shape.floor_level_m:
            crossed.append(swale.id)
    return crossed


def things_crossed(design: Design, greywater: Greywater) -> list[str]:
    """Roads, utilities and other keep-outs that the pipe crosses, and watercourses; not the house it comes from."""
    route = greywater.route
    if route is None or len(route.xy) < 2:
        return []
    pipe, outlet = shapely.LineString(route.xy), shapely.Point(greywater.house.xy)
    crossed = [
        f"{each.kind} '{each.name}'" if each.name else each.kind
        for each in design.site.keep_outs
        if pipe.intersects(each.geometry) and not (each.kind == "building" and outlet.distance(each.geometry) < 1.0)
    ]
    if any(len(xy) > 1 and pipe.intersects(shapely.LineString(xy)) for xy in design.ground.watercourse_lines):
        crossed.append("a watercourse")
    return crossed


def serves_across_watercourse(design: Design, greywater: Greywater) -> bool:
    """Whether a watercourse runs through the ground that the first place serves."""
    if not greywater.places:
        return False
    grid, served = design.ground.terrain.grid, greywater.places[0].served.cells
    for xy in design.ground.watercourse_lines:
        row, column = (np.floor(each + 0.5).astype(np.intp) for each in grid.rows_columns(*np.asarray(xy).T))
        on = (row >= 0) & (row < grid.shape[0]) & (column >= 0) & (column < grid.shape[1])
        if served[row[on], column[on]].any():
            return True
    return False
