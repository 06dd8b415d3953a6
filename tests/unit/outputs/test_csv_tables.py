import pandas as pd
import pytest

from geo_scout.outputs.csv_tables import write_csv


def written(tmp_path, table):
    write_csv(tmp_path / "table.csv", table)
    return (tmp_path / "table.csv").read_bytes().decode("utf-8")


def test_numbers_missing_and_text(tmp_path):
    table = pd.DataFrame(
        {
            "rank": pd.array([1, pd.NA], dtype="Int64"),
            "name": ['Mill "old" verge', ""],
            "gross_ha": [1.5, float("nan")],
            "score": [0.1234567, 1.0],
            "longitude_deg": [-109.5, 0.0],
        }
    )
    assert written(tmp_path, table) == (
        "\ufeffrank,name,gross_ha,score,longitude_deg\r\n"
        '1,"Mill ""old"" verge",1.5000,0.123457,-109.500000\r\n'
        ",,,1.000000,0.000000\r\n"
    )


@pytest.mark.parametrize("start", ["=1+1", "+1", "-1", "@x", "\tx", "\rx", "\nx"])
def test_text_that_would_run_as_a_formula_is_quoted(tmp_path, start):
    assert "'" + start in written(tmp_path, pd.DataFrame({"name": [start]}))


def test_numbers_are_never_taken_for_formulas(tmp_path):
    assert "'" not in written(tmp_path, pd.DataFrame({"easting_m": [-12.34]}))
