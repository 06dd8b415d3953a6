import numpy as np
import pytest

from geo_scout.layers.inspect.cell_tests import cells_fit
from geo_scout.layers.inspect.columns_found import describe_column
from geo_scout.model.columns import columns_of


def fit(kind: str, ours: str, cells: list[str], **more: bool) -> float:
    column = next(one for one in columns_of(kind) if one.name == ours)
    return cells_fit(column, describe_column("X", np.array(cells, dtype=object)), **more)[0]


def test_ids_are_different_from_row_to_row() -> None:
    assert fit("releases", "release_id", ["a", "b", "c"]) == 1.0
    assert fit("releases", "release_id", ["a", "a", "a"]) < 0.2
    assert fit("visits", "release_id", ["a", "a", "a"], refers_elsewhere=True) == 0.8


@pytest.mark.parametrize(
    ("cells", "can_be"),
    [
        (["5", "30", "90"], True),
        (["5%", "30%", "90 %"], True),
        (["0.05", "0.9"], True),
        (["1", "4", "6"], True),
        (["+", "1", "5"], True),
        (["140", "35", "20"], False),
        (["oak"] * 5 + [f"tree {number}" for number in range(20)], False),
    ],
)
def test_cover_is_a_percentage_a_share_or_a_class(cells: list[str], can_be: bool) -> None:
    assert (fit("infestations", "cover", cells) > 0.0) is can_be


def test_cover_outside_percent_is_no_cover_unless_it_is_rare() -> None:
    assert fit("infestations", "cover", ["50"] + [str(number) for number in range(101, 140)]) == 0.0
    assert fit("infestations", "cover", ["140"] + [str(number) for number in range(1, 60)]) == 1.0


def test_a_number_column_holds_numbers() -> None:
    assert fit("releases", "number", ["100", "250"]) == 1.0
    assert fit("releases", "number", ["100", "many", "some"]) == 0.0


def test_an_area_is_above_nothing() -> None:
    assert fit("infestations", "area", ["0.5", "2,5"]) == 1.0
    assert fit("infestations", "area", ["0", "0"]) == 0.0


def test_a_date_column_holds_dates() -> None:
    assert fit("releases", "date", ["2024-05-06", "2024-06-01"]) == 1.0
    assert fit("releases", "date", ["spring", "autumn"]) == 0.0
    # Years alone are no days.
    assert fit("releases", "date", ["2024", "2023"]) == 0.0


def test_a_result_is_one_of_a_few_plain_words() -> None:
    assert fit("visits", "result", ["found", "not found"]) == 1.0
    assert 0.5 < fit("visits", "result", ["found", "not found", "eaten"]) < 1.0
    assert fit("visits", "result", ["sunny", "rainy"]) == 0.0
    assert fit("visits", "result", [f"found {number}" for number in range(40)]) == 0.0


def test_names_of_weeds_are_no_numbers_and_no_dates() -> None:
    assert fit("infestations", "host", ["ashthorn", "brindlebell"]) == 1.0
    assert fit("infestations", "host", ["1", "2"]) == 0.0
    assert fit("infestations", "host", ["2024-05-06", "2024-05-07"]) == 0.0


def test_a_scheme_names_schemes() -> None:
    assert fit("infestations", "cover_scheme", ["daubenmire", "percent", ""]) == 1.0
    assert fit("infestations", "cover_scheme", ["ashthorn"]) == 0.0


def test_blank_cells_neither_speak_for_nor_against() -> None:
    assert fit("infestations", "manager", ["", ""]) == pytest.approx(0.3)


def test_a_column_that_is_blank_or_mostly_blank_is_no_id() -> None:
    assert fit("visits", "visit_id", ["", "", ""]) == 0.0
    assert fit("visits", "visit_id", ["a", "", ""]) == 0.0
    assert fit("visits", "visit_id", ["a", "b", ""]) == 1.0
    # A find without a release leaves the release blank.
    assert fit("visits", "release_id", ["R1", "", ""], refers_elsewhere=True) == 0.8


@pytest.mark.parametrize(
    ("kind", "ours"), [("visits", "observer"), ("infestations", "manager"), ("requests", "owner")]
)
def test_people_are_no_numbers_no_dates_and_no_answers(kind: str, ours: str) -> None:
    assert fit(kind, ours, ["JT", "Ames", "JT"]) > 0.5
    for cells in (["45870", "45871"], ["2024-05-06", "2024-05-07"], ["yes", "no"]):
        assert fit(kind, ours, cells) == 0.0, cells


def test_cover_with_a_decimal_comma_is_cover() -> None:
    assert fit("infestations", "cover", ["12,5", "15"]) == 1.0


def test_an_area_may_have_a_few_cells_that_are_no_numbers() -> None:
    assert fit("infestations", "area", ["1.5", "2.5", "<0.1"]) == pytest.approx(0.6)
    assert fit("infestations", "area", ["1.5", "small", "large"]) == 0.0


def test_day_numbers_are_dates_only_under_a_name_that_speaks_of_one() -> None:
    for name, can_be in (("Date seen", True), ("SurveyDate", True), ("Visited", True), ("Count", False)):
        column = describe_column(name, np.array(["45850", "45851"], dtype=object))
        ours = next(one for one in columns_of("visits") if one.name == "date")
        assert (cells_fit(ours, column)[0] > 0.0) is can_be, name
    # Years, dates without dots and small numbers are no day numbers.
    for cells in (["2024", "2025"], ["12", "15"], ["850", "45850"]):
        assert describe_column("date", np.array(cells, dtype=object)).date_formats == (), cells
