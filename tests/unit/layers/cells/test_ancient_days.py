import numpy as np
import pytest

HOST = {"host": "ashthorn", "cover": 40.0}


@pytest.mark.parametrize("day", ["0001-01-01", "1601-01-01", "1899-12-30", "1900-01-01"])
def test_the_first_day_of_a_calendar_is_a_blank(folder, told, day):
    folder.write(
        "infestations",
        [folder.square(0), folder.square(1)],
        id=["A", "B"],
        survey_date=[day, "1900-01-02"],
        **HOST,
    )
    layers = folder.read()
    days = layers.vectors["infestations"]["survey_date"].to_numpy(dtype="datetime64[D]")
    assert np.isnat(days).tolist() == [True, False]
    assert told(layers, "date-ancient") == (
        "caution: layers.infestations feature A\n"
        f"  survey_date {day} is what programs write for a blank; it is taken as missing.\n"
        "  Fix: Write the true day, or leave the cell blank where nobody knows it."
    )
    assert "no survey date is known for 1 infestation (A)" in told(layers, "undated")


def test_a_release_on_such_a_day_has_no_date(folder, found):
    folder.rules["max_bad_share"] = 1.0
    folder.write("releases", [folder.point(0)], release_id="R1", agent="stem weevil", date="1899-12-30")
    layers = folder.read()
    assert len(found(layers, "date-ancient")) == 1
    [finding] = found(layers, "blank-value")
    assert finding.what == "Set aside: date 1899-12-30 is before 1900-01-02."


def test_a_mistyped_year_is_not_called_a_blank_and_the_stop_names_it(folder, told):
    folder.write("releases", [folder.point(0), folder.point(1)], release_id=["R1", "R2"], agent="stem weevil",
                 date=["0202-06-09", "2020-06-09"])  # fmt: skip
    folder.rules["max_bad_share"] = 0.05
    layers = folder.read()
    assert told(layers, "date-ancient") == (
        "caution: layers.releases feature R1\n"
        "  date 0202-06-09 is before 1900-01-02, earlier than any such record can be; it is taken as missing.\n"
        "  Fix: Write the true day, or leave the cell blank where nobody knows it."
    )
    assert told(layers, "too-many-bad") == (
        "stop: layers.releases\n"
        "  1 of 2 features (50.0 percent) cannot be used; the limit is 5 percent (rules.max_bad_share): unusable date "
        "(1). R1: date 0202-06-09 is before 1900-01-02.\n"
        "  Fix: Correct the cell, or take the row out. Or raise max_bad_share under [rules] to do without them."
    )
