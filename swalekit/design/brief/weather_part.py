"""The part of the brief that says what weather the trees live in."""

from typing import Annotated, Literal

from pydantic import Field

from swalekit.design.brief.part import NotNegative, Part

Share = Annotated[float, Field(ge=0, le=1)]


class WeatherPart(Part):
    """The weather of the place: days measured, or monthly normals with a daily record of rain or made rain."""

    file: str | None = Field(None, description="CSV of daily weather or of monthly normals; its header names columns")
    rain: str | None = Field(
        None, description="CSV of date and daily rain that goes with monthly normals; made rain when not given"
    )
    rain_unit: Annotated[str, Field(pattern="^(mm|in)$")] = Field("mm", description="unit of that rain: mm or in")
    method: Literal["Penman-Monteith", "Hargreaves"] = Field(
        "Penman-Monteith",
        description="reference evapotranspiration from all readings, missing ones filled, or from temperature alone",
    )
    latitude_deg: Annotated[float, Field(ge=-90, le=90)] | None = Field(
        None, description="latitude of the station, south negative [°]; the tile's when not given"
    )
    elevation_m: Annotated[float, Field(ge=-450, le=9000)] | None = Field(
        None, description="height of the station above the sea [m]; the terrain's mean when not given"
    )
    wind_height_m: Annotated[float, Field(ge=0.5, le=200)] = Field(
        2.0, description="height of the wind gauge above ground [m]"
    )
    wind_m_s: Annotated[NotNegative, Field(le=50)] | None = Field(
        None, description="wind at 2 m where none is measured [m/s]; the published mean of 2 m/s when not given"
    )
    range_coefficient: Annotated[float, Field(ge=0.1, le=0.25)] | None = Field(
        None, description="k in sun by temperature range: 0.16 inland, taken when not given, 0.19 on a coast"
    )
    dew_below_tmin_c: Annotated[float, Field(ge=0, le=10)] = Field(
        0.0,
        description="dew point below the lowest temperature where humidity isn't measured [°C]; 2 to 3 in dry country",
    )
    made_years: Annotated[int, Field(ge=1, le=1000)] = Field(
        30, description="years of rain made of monthly normals where there is no record"
    )
    made_spread: Share = Field(
        0.35, description="standard deviation of the made years' rain over its mean; 0.3 to 0.5 in dry country"
    )
    made_month_spread: Annotated[float, Field(ge=0, le=2)] = Field(
        0.6,
        description="standard deviation of a made month's rain over its mean, in years alike; 0.5 to 1 in dry country",
    )
    seed: Annotated[int, Field(ge=0)] = Field(1, description="which of many made records")
