"""The sample's brief: it is read, and it explains every key there is."""

import re
import tomllib
from pathlib import Path

from pyproj import CRS

from swalekit.design.brief.brief import Brief
from swalekit.formats.inputs.site import read_site

BRIEF = Path(__file__).parents[3] / "sample_terrain" / "site.toml"


def test_the_sample_site_is_read():
    """Boundary, keep-outs with their setbacks, and settings come together."""
    site = read_site(BRIEF)
    assert site.brief.site.name == "Solana de Quermal"
    assert {keep_out.kind for keep_out in site.keep_outs} == {
        "building",
        "septic field",
        "well",
        "buried utility",
        "road",
    }
    assert {keep_out.setback_m for keep_out in site.keep_outs if keep_out.kind == "well"} == {30.0}
    assert 12 < site.in_crs(CRS.from_epsg(32630)).boundary.area / 10_000 < 20


def test_every_key_is_explained_with_its_default():
    """Each key of each part stands in the sample's brief, set, or behind a # with the default it has."""
    text = BRIEF.read_text(encoding="utf-8")
    given = tomllib.loads(text)
    shown = tomllib.loads(re.sub(r"^# (\w+ = )", r"\1", text, flags=re.MULTILINE))
    for part, field in Brief.model_fields.items():
        for key, setting in field.annotation.model_fields.items():
            assert key in shown[part], (part, key)
            default = setting.get_default(call_default_factory=True)
            if key not in given[part] and default is not None:
                told = shown[part][key]
                assert (tuple(told) if isinstance(told, list) else told) == default, (part, key)
