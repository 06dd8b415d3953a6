"""The reference tables say what the reader of the file does."""

import re

import pytest

from geo_scout.model.agent import AgentProfile
from geo_scout.model.columns import LAYERS
from geo_scout.model.quantities import COLUMN_OF_LIMIT
from geo_scout.model.season import LayerTables
from geo_scout.season.reference import layers_markdown, reference_markdown, settings_reference

ROWS = {(row.file, row.key): row for row in settings_reference()}


def test_a_setting_is_told_as_declared() -> None:
    row = ROWS[("season", "rules.join_m")]
    assert (row.table, row.default, row.unit, row.range) == ("[rules]", "100", "m", "0 to 5000")
    assert row.meaning == "infestations closer than this, edge to edge, are one patch"
    assert row.source == "our choice; set it for your weed and country"


@pytest.mark.parametrize(
    ("file", "key", "default", "unit", "limits"),
    [
        ("season", "format", "needed", "", "1"),
        ("season", "season.as_of", "none", "date", ""),
        ("season", "layers.NAME.point_area_ha", "none", "ha", "more than 0"),
        ("season", "crews.base_latitude_deg", "needed", "deg", "-90 to 90"),
        ("season", "rules.max_patch_km", "5", "km", "more than 0, at most 100"),
        ("season", "criteria.release.host_area", "on", "", ""),
        ("season", "criteria.release.preferred_land", "off", "", ""),
        ("season", "criteria.source.host_around", "off", "", ""),
        ("season", "criteria.release.host_area.weight", "3", "", "at least 0"),
        ("season", "criteria.source.crew_distance.curve", '{shape = "falling", from = 0, to = 60}', "km", ""),
        (
            "season",
            "criteria.ROLE.NAME.curve.shape",
            "needed",
            "",
            "rising, falling, plateau, s_shaped or steps",
        ),
        ("season", "climate.variables", '["bio05", "bio06", "bio12"]', "", ""),
        ("profile", "establishment.prior_share", "needed", "share", "0 to 1"),
        ("profile", "spread.lag_years", "0", "years", "0 to 100"),
        ("profile", "climate.limits.NAME.least", "none", "", ""),
        ("profile", "legal_status.status", "needed", "", "allowed, permit, forbidden, moratorium or unknown"),
    ],
)
def test_default_unit_and_range(file: str, key: str, default: str, unit: str, limits: str) -> None:
    row = ROWS[(file, key)]
    assert (row.default, row.unit, row.range) == (default, unit, limits)


def test_every_key_of_the_tables_is_there_once_with_a_meaning() -> None:
    assert len(ROWS) == len(settings_reference())
    assert all(row.meaning for row in ROWS.values())
    rules = {
        key.removeprefix("rules.") for file, key in ROWS if file == "season" and key.startswith("rules.")
    }
    assert {"join_m", "land_classes", "min_spacing_km", "treatment_kinds"} < rules
    top = {key.split(".")[0] for file, key in ROWS if file == "profile"}
    assert top == set(AgentProfile.model_fields)


def test_the_markdown_holds_every_key_and_whole_rows() -> None:
    text = reference_markdown()
    for row in ROWS.values():
        assert f"`{row.key.rsplit('.', 1)[-1]}`" in text, row.key
    for block in text.split("\n\n"):
        lines = block.strip().splitlines()
        if lines and lines[0].startswith("|"):
            assert len({line.count(" | ") for line in lines}) == 1
    for heading in ("`[rules]`", "`[[crews]]`", "`[layers.NAME]`", "`[spread.curve]`", "`[[legal_status]]`"):
        assert f"### {heading}\n" in text
    assert "| `host_area` | yes | 3 | `" in text


def test_the_layers_say_what_is_off_without_them() -> None:
    text = layers_markdown()
    assert set(LAYERS) == set(LayerTables.model_fields)
    for name, kind in LAYERS.items():
        assert any(
            line.startswith(f"| `{name}` |") and line.endswith(f"| {kind.adds} | {kind.without} |")
            for line in text.splitlines()
        )
    assert "| `infestations` | `host` | yes | text | the weed's name, as in the agent's profile |" in text
    assert "| `elevation` | raster, 1 band | m |" in text
    assert "| `tmin` | raster, 12 bands | degC |" in text


def test_every_climate_limit_is_listed_with_its_unit_and_the_layers_that_answer_it() -> None:
    text = reference_markdown()
    for name in COLUMN_OF_LIMIT:
        [line] = [line for line in text.splitlines() if line.startswith(f"| `{name}` |")]
        unit, meaning, layers = line.strip("| ").split(" | ")[1:]
        assert unit in ("degC", "mm", "degree-days")
        assert meaning
        named = set(re.findall(r"`(\w+)`", layers))
        assert named
        assert named <= set(LAYERS)
    [heat] = [line for line in text.splitlines() if line.startswith("| `heat_sum_degree_days` |")]
    assert "the profile's own heat window" in heat
