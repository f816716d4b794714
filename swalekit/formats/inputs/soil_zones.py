"""Soil zones: polygons whose properties say how much of the rain runs off there."""

from collections.abc import Mapping
from typing import Any

from swalekit.design.brief.site import WGS84
from swalekit.design.brief.soil_part import LOSS_KEYS, LOSS_METHODS, LOSS_WAYS, SoilPart, keys_of_zone, soil_loss
from swalekit.design.brief.values import si_key
from swalekit.errors import GeometryError, InputError
from swalekit.formats.inputs.polygons import property_number, read_features
from swalekit.hydrology.losses.loss import Loss
from swalekit.hydrology.losses.soil import SoilZone

_MOST_ZONES = 255
"""The zone of a cell is kept in one byte."""
_NAMES = {name for method in LOSS_METHODS for name in method.names}


def read_soil_zones(
    path: str, part: SoilPart, *, tested_mm_h: float | None = None
) -> tuple[tuple[SoilZone, ...], tuple[str, ...]]:
    """Read the polygons of a file, each with the loss that its properties ask for.

    Parameters
    ----------
    path : str
        GeoJSON, GeoPackage, Shapefile, KML or KMZ file. Properties are named as the keys of the brief's soil part, US
        units included; what a feature leaves out of its method is the brief's.
    part : SoilPart
        The brief's soil.
    tested_mm_h : float, optional
        Conductivity by the infiltration test, for zones whose properties name neither it nor a texture [mm/h].

    Returns
    -------
    zones : tuple of SoilZone
        In WGS 84, in the order of the file.
    notes : tuple of str
        What was repaired or left out.

    Raises
    ------
    GeometryError
        If the file can't be read, or a feature is no polygon or has properties that can't be used.
    """
    features, notes = read_features(path, WGS84, what="soil zones")
    zones = []
    for number, (geometry, properties) in enumerate(features, start=1):
        where = f"soil zones '{path}', feature {number}"
        if geometry.area == 0:
            message = f"{where} is a {geometry.geom_type}; draw it as a polygon"
            raise GeometryError(message)
        try:
            zones.append(SoilZone(_loss(properties, part, tested_mm_h), geometry))
        except InputError as error:
            message = f"{where}: {error}"
            raise GeometryError(message) from error
    if len(zones) > _MOST_ZONES:
        message = (
            f"soil zones '{path}' holds {len(zones)} polygons and at most {_MOST_ZONES} are read; "
            "join those of one soil, or cut the file to the site"
        )
        raise GeometryError(message)
    return tuple(zones), notes


def _loss(properties: Mapping[str, Any], part: SoilPart, tested_mm_h: float | None) -> Loss:
    known = _known(properties)
    if not known:
        message = f"no property ({', '.join(properties) or 'it has none'}) says how much runs off; {LOSS_WAYS}"
        raise InputError(message)
    tested = None if "texture" in known else tested_mm_h
    return soil_loss(keys_of_zone(known, part.loss_keys), tested_mm_h=tested)


def _known(properties: Mapping[str, Any]) -> dict[str, Any]:
    """Properties that are keys of a soil, numbers in SI; an empty one says nothing."""
    known: dict[str, Any] = {}
    for name, value in properties.items():
        key, factor = si_key(name, SoilPart)
        if key not in LOSS_KEYS or value is None or value == "":
            continue
        if key in known:
            message = f"{name} says again what {key} says; give one"
            raise InputError(message)
        known[key] = str(value) if key in _NAMES else factor * property_number(name, value)
    return known
