"""The table of sites: what a cell means, and what no table may hold."""

import pytest

from swalekit.errors import InputError
from swalekit.formats.inputs.sites_csv import read_sites


def _read(tmp_path, text: str):
    path = tmp_path / "sites.csv"
    path.write_text(text, encoding="utf-8")
    return read_sites(path)


def test_cells_are_read_as_a_brief_would(tmp_path):
    """Numbers, lists, bare and quoted text, tables; an empty cell gives nothing."""
    (site,) = _read(
        tmp_path,
        "site,brief,storm.depth_in,levels.levels_m,soil.texture,terrain.crs,area.setbacks_m,soil.group\n"
        'Upper (north),a.toml,2.5,"[9, 8.5]",sandy loam,"""EPSG:32630""",{ road = 4 },\n',
    )
    assert site.site == "Upper (north)"
    assert site.given == {
        "storm.depth_in": 2.5,
        "levels.levels_m": [9, 8.5],
        "soil.texture": "sandy loam",
        "terrain.crs": "EPSG:32630",
        "area.setbacks_m": {"road": 4},
    }


def test_paths_are_taken_from_the_folder_of_the_table(tmp_path):
    """Briefs and files alike, even one whose name is a number."""
    (site,) = _read(tmp_path, "site,brief,terrain.file\na,briefs/a.toml,2024\n")
    assert site.brief == tmp_path / "briefs" / "a.toml"
    assert site.given == {"terrain.file": str(tmp_path / "2024")}


def test_a_decimal_comma_is_read_where_no_comma_parts_the_cells(tmp_path):
    """As spreadsheets of half the world save it."""
    (site,) = _read(tmp_path, "site;brief;section.bottom_width_m\na;a.toml;0,8\n")
    assert site.given == {"section.bottom_width_m": 0.8}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("site,brief\na,a.toml\nb,a.toml\nA,a.toml\n", ["line 4", "site 'A' is in line 2 already"]),
        ("site,brief,storm.deph_mm\na,a.toml,5\n", ["line 1", "'storm.deph_mm'", "did you mean 'storm.depth_mm'?"]),
        ("site,brief,note\na,a.toml,dry\n", ["'note'", "storm.depth_mm"]),
        ("site,brief,storm.depth_mm,storm.depth_mm\na,a.toml,5,6\n", ["'storm.depth_mm' is there twice"]),
        ("name,brief\na,a.toml\n", ["'name'", "neither site, brief"]),
        ("site,storm.depth_mm\na,5\n", ["no column 'brief'"]),
        ("site,brief\n", ["line 1", "the only one"]),
        ("site,brief\n../a,a.toml\n", ["line 2", "'../a'", "does not name a folder"]),
        ("site,brief\n,a.toml\n", ["line 2", "site ''"]),
        ("site,brief,soil.texture\na,,loam\n", ["line 2", "site 'a' has no brief"]),
        ("site,brief\na,a.toml,5\n", ["line 2", "3 cells for 2 columns"]),
    ],
)
def test_a_table_that_cannot_be_used_is_one_line(tmp_path, text, words):
    """File, line, what was found, the way out."""
    with pytest.raises(InputError) as caught:
        _read(tmp_path, text)
    assert "\n" not in str(caught.value)
    for word in ["sites.csv", *words]:
        assert word in str(caught.value)
