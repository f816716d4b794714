"""The part of the brief that says what weather the trees live in."""

from typing import Annotated, Literal

from pydantic import Field

from swalekit.design.brief.part import NotNegative, Part, key

Share = Annotated[float, Field(ge=0, le=1)]


class WeatherPart(Part):
    """The weather of the place: days measured, or monthly normals with a daily record of rain or made rain."""

    file: str | None = key(None, "CSV of daily weather or of monthly normals; its header names columns")
    rain: str | None = key(None, "CSV of date and daily rain that goes with monthly normals; made rain when not given")
    rain_unit: Annotated[str, Field(pattern="^(mm|in)$")] = key("mm", "unit of that rain: mm or in")
    method: Literal["Penman-Monteith", "Hargreaves"] = key(
        "Penman-Monteith",
        "reference evapotranspiration from all readings, missing ones filled, or from temperature alone",
    )
    latitude_deg: float | None = key(
        None, "latitude of the station, south negative [°]; the tile's when not given", ge=-90, le=90
    )
    elevation_m: float | None = key(
        None, "height of the station above the sea [m]; the terrain's mean when not given", ge=-450, le=9000
    )
    wind_height_m: float = key(2.0, "height of the wind gauge above ground [m]", ge=0.5, le=200)
    wind_m_s: NotNegative | None = key(
        None, "wind at 2 m where none is measured [m/s]; the published mean of 2 m/s when not given", le=50
    )
    range_coefficient: float | None = key(
        None, "k in sun by temperature range: 0.16 inland, taken when not given, 0.19 on a coast", ge=0.1, le=0.25
    )
    dew_below_tmin_c: float = key(
        0.0,
        "dew point below the lowest temperature where humidity isn't measured [°C]; 2 to 3 in dry country",
        ge=0,
        le=10,
    )
    made_years: int = key(30, "years of rain made of monthly normals where there is no record", ge=1, le=1000)
    made_spread: Share = key(
        0.35, "standard deviation of the made years' rain over its mean; 0.3 to 0.5 in dry country"
    )
    made_month_spread: float = key(
        0.6,
        "standard deviation of a made month's rain over its mean, in years alike; 0.5 to 1 in dry country",
        ge=0,
        le=2,
    )
    seed: int = key(1, "which of many made records", ge=0)
