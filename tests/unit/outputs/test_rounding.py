import numpy as np
import pandas as pd
import pytest

from geo_scout.outputs.rounding import decimals_of, round_table


@pytest.mark.parametrize(
    ("column", "decimals"),
    [
        ("gross_ha", 4), ("easting_m", 1), ("crew_distance_km", 3), ("longitude_deg", 6), ("mean_degc", 2),
        ("rain_mm", 1), ("cover_pct", 1), ("treated_share", 4), ("climate_gap", 4), ("drive_hours", 2),
        ("score", 6),
        ("host_area_points", 6), ("site_id", None), ("rank", None),
    ],
)  # fmt: skip
def test_decimals_follow_the_unit_in_the_name(column, decimals):
    assert decimals_of(column) == decimals


def test_a_rounded_table_prints_the_same_everywhere():
    table = pd.DataFrame(
        {
            "gross_ha": [1.00004, -0.00001],
            "survey_date": pd.to_datetime(["2024-07-08", None]),
            "confirmed_year": [2021.0, np.nan],
            "name": ["a", "gate\u202ekcab"],
        }
    )
    rounded = round_table(table)
    assert [str(value) for value in rounded["gross_ha"]] == ["1.0", "0.0"]
    assert list(rounded["survey_date"]) == ["2024-07-08", ""]
    assert rounded["confirmed_year"].dtype == "Int64"
    assert list(rounded["name"]) == ["a", "gate\\u202Ekcab"]
    assert table["survey_date"].dtype.kind == "M"


def test_a_table_of_many_columns_is_one_piece_to_which_more_can_be_added():
    """Pandas warns, and a warning of Python fails here, where a table has grown column by column."""
    wide = pd.DataFrame({f"c{number}_km": [1.23456, 2.0] for number in range(150)})
    rounded = round_table(wide)
    assert rounded.assign(more="x")["c149_km"].tolist() == [1.235, 2.0]
