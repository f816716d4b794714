"""The brief: units in keys, defaults, and one-line errors."""

import pytest
from sites import brief_values, make_site

from swalekit.design.brief.brief import Brief
from swalekit.design.brief.values import check_brief
from swalekit.errors import BriefError
from swalekit.formats.inputs.brief import read_brief

_REST_OF_SOIL = {
    "conductivity_mm_h": {"suction_mm": 100.0, "moisture_deficit": 0.3},
    "suction_mm": {"conductivity_mm_h": 10.0, "moisture_deficit": 0.3},
    "initial_loss_mm": {"loss_rate_mm_h": 5.0},
    "loss_rate_mm_h": {},
}
"""What a soil key needs beside it, in place of the curve number."""


@pytest.mark.parametrize(
    ("part", "key", "value", "si_key", "expected"),
    [
        ("levels", "interval_ft", 5.0, "interval_m", 1.524),
        ("storm", "depth_in", 2.0, "depth_mm", 50.8),
        ("lines", "watercourse_area_acres", 2.0, "watercourse_area_m2", 8093.7128448),
        ("lines", "watercourse_area_ha", 1.5, "watercourse_area_m2", 15_000.0),
        ("soil", "intake_in_h", 0.5, "intake_mm_h", 12.7),
        ("soil", "conductivity_in_h", 0.4, "conductivity_mm_h", 10.16),
        ("soil", "suction_in", 4.0, "suction_mm", 101.6),
        ("soil", "initial_loss_in", 0.5, "initial_loss_mm", 12.7),
        ("soil", "loss_rate_in_h", 0.2, "loss_rate_mm_h", 5.08),
        ("rates", "dig_per_yd3", 10.0, "dig_per_m3", 13.0795062),
        ("rates", "machine_yd3_per_h", 30.0, "machine_m3_per_h", 22.9366457),
        ("rates", "swale_per_ft", 3.0, "swale_per_m", 9.84251969),
        ("section", "freeboard_ft", 0.5, "freeboard_m", 0.1524),
    ],
)
def test_a_key_that_names_a_us_unit_is_converted(part, key, value, si_key, expected):
    """The unit in the key decides; international foot, inch, acre and cubic yard."""
    values = brief_values()
    kept = {} if part == "soil" else values.get(part, {})
    values[part] = {name: item for name, item in kept.items() if name != si_key} | {key: value}
    if part == "soil":
        values[part] |= _REST_OF_SOIL.get(si_key, {"curve_number": 80})
    brief = check_brief(values)
    assert getattr(getattr(brief, part), si_key) == pytest.approx(expected)


def test_lists_and_tables_are_converted_too():
    """Levels in feet, setbacks in feet."""
    brief = check_brief(brief_values(levels={"levels_ft": [10, 20]}, area={"setbacks_ft": {"well": 100}}))
    assert brief.levels.levels_m == pytest.approx((3.048, 6.096))
    assert brief.area.setbacks_m["well"] == pytest.approx(30.48)


def test_the_same_quantity_twice_is_refused():
    """Feet and metres for one key: which counts is not guessed."""
    with pytest.raises(BriefError, match="interval_ft and interval_m"):
        check_brief(brief_values(levels={"interval_m": 2.0, "interval_ft": 6.0}))


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ({"storm": {"depth_mm": 80.0, "check_depth_mm": 60.0}}, "check storm must not be smaller"),
        ({"lines": {"least_slope": 0.3, "greatest_slope": 0.2}}, "least_slope 0.3"),
        ({"soil": {}}, "curve_number, or cover and group"),
        ({"soil": {"curve_number": 80, "cover": "meadow"}}, "give one"),
        (
            {"soil": {"curve_number": 80, "runoff_coefficient": 0.3}},
            "curve_number .* and runoff_coefficient .* give one",
        ),
        ({"soil": {"loss_rate_mm_h": 5.0, "suction_mm": 90.0}}, "suction_mm .* and loss_rate_mm_h"),
        ({"soil": {"initial_loss_mm": 5.0}}, "loss_rate_mm_h"),
        ({"soil": {"runoff_coefficient": 30.0}}, "runoff_coefficient is 30"),
        ({"soil": {"texture": "loam"}}, "texture 'loam' alone does not say"),
        ({"soil": {"texture": "lome", "initial_saturation": 0.3}}, "sand, loamy sand, .* did you mean 'loam'"),
        ({"soil": {"initial_saturation": 0.3}}, "needs conductivity_mm_h, suction_mm, moisture_deficit"),
        ({"soil": {"conductivity_mm_h": 9.0, "suction_mm": 90.0}}, "needs moisture_deficit"),
        (
            {"soil": {"texture": "loam", "initial_saturation": 0.3, "moisture_deficit": 0.2}},
            "moisture_deficit 0.2 and initial_saturation 0.3",
        ),
        (
            {"soil": {"curve_number": 80, "intake_mm_h": 9.0, "infiltration_test": "t.csv"}},
            "intake_mm_h is 9 .* give one",
        ),
        ({"soil": {"runoff_coefficient": 0.3, "travel": "lag"}}, "'lag' needs a curve number.* is runoff coefficient"),
        ({"storm": {"depth_mm": 50.0, "course": "II", "course_file": "s.csv"}}, "course 'II' and course_file"),
        ({"storm": {"depth_mm": 50.0, "duration_h": 6.0, "course_file": "s.csv"}}, "duration_h is 6"),
        ({"storm": {"depth_mm": 50.0, "course": "alternating block"}}, "give table"),
        ({"section": {"least_depth_m": 0.8, "greatest_depth_m": 0.5}}, "least must not exceed"),
        ({"levels": {"levels_m": [100.0, float("nan")]}}, "levels_m"),
        ({"site": {"units": "imperial"}}, "'metric' or 'us'"),
        ({"site": {"name": 5}}, "name is 5"),
    ],
)
def test_values_that_contradict_are_one_line(parts, words):
    """The rule, the values and the part are named in one line."""
    with pytest.raises(BriefError, match=words) as caught:
        check_brief(brief_values(**parts), source="site.toml")
    assert "\n" not in str(caught.value)
    assert str(caught.value).startswith("site.toml: ")


def test_paths_are_taken_from_the_folder_of_the_brief(tmp_path):
    """A brief can be run from anywhere."""
    path = tmp_path / "site.toml"
    path.write_text('[terrain]\nfile="t.tif"\n[storm]\ndepth_mm=5\n[soil]\ncurve_number=80\n[levels]\ninterval_m=1\n')
    assert read_brief(path).terrain.file == str(tmp_path / "t.tif")


def test_a_byte_order_mark_is_no_obstacle(tmp_path):
    """Editors on some systems write one."""
    path = tmp_path / "site.toml"
    text = '[terrain]\nfile="t.tif"\n[storm]\ndepth_mm=5\n[soil]\ncurve_number=80\n[levels]\ninterval_m=1\n'
    path.write_bytes(b"\xef\xbb\xbf" + text.encode())
    assert read_brief(path).storm.depth_mm == 5


def test_every_key_says_what_it_means():
    """Each field of each part has a description, with its unit where the name carries one."""
    for part in Brief.model_fields.values():
        for name, field in part.annotation.model_fields.items():
            assert field.description, name
            if name.endswith("_m") and not name.endswith("_per_m"):
                assert "[m]" in field.description or name in {"levels_m", "soil_ece_ds_m"}, name


@pytest.mark.parametrize(
    ("litres", "words"),
    [({"bathing": 0.0, "laundry": 0.0}, "give no greywater at all"), ({"bathing": 1e9}, "less than or equal to 1000")],
)
def test_greywater_that_cannot_be_is_refused(litres, words):
    """None at all, or more than any household uses."""
    with pytest.raises(BriefError, match=words):
        make_site(greywater={"people": 3.0, "litres": litres})
