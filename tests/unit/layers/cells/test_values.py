import datetime as dt
import json

import numpy as np
import pytest
import shapely

HOST = {"host": "ashthorn", "cover": 40.0}


def test_one_unreadable_date_is_taken_as_missing(folder, told):
    folder.write(
        "infestations",
        [folder.square(n) for n in range(3)],
        survey_date=["2025-01-01", "last June", "2024-01-01"],
        id=["a", "b", "c"],
        **HOST,
    )
    layers = folder.read()
    assert layers.vectors["infestations"]["survey_date"].isna().tolist() == [False, True, False]
    assert told(layers, "value-unreadable") == (
        "caution: layers.infestations feature b\n"
        "  survey_date 'last June' is not a date; it is taken as missing.\n"
        "  Fix: Write it like 2026-11-01."
    )


def test_dates_written_in_another_way_stop_the_layer(folder, told):
    folder.rules["max_bad_share"] = 0.05
    folder.write(
        "infestations", [folder.square(0), folder.square(1)], survey_date=["14.03.2025", "15.03.2025"], **HOST
    )
    layers = folder.read()
    assert not layers.has("infestations")
    assert told(layers, "column-unreadable") == (
        "stop: layers.infestations\n"
        "  survey_date is not a date in 2 of 2 filled cells: '14.03.2025', '15.03.2025'; the limit is 5 "
        "percent (rules.max_bad_share).\n"
        '  Fix: Say how they are written: date_format = "%d.%m.%Y" (day first).'
    )


def test_date_format_reads_them(folder):
    folder.write("infestations", [folder.square(0)], survey_date=["14.03.2025"], **HOST)
    folder.layers["infestations"]["date_format"] = "%d.%m.%Y"
    assert folder.read().vectors["infestations"]["survey_date"].iloc[0] == np.datetime64("2025-03-14")


def test_date_format_is_not_for_columns_that_are_dates_already(folder):
    folder.write(
        "treatments",
        [folder.square(0)],
        file="t.geojson",
        treatment_id="T1",
        kind="mowing",
        start=[dt.date(2025, 3, 4)],
        end=["05.03.2025"],
    )
    folder.layers["treatments"]["date_format"] = "%d.%m.%Y"
    frame = folder.read().vectors["treatments"]
    assert frame["start"].iloc[0] == np.datetime64("2025-03-04")
    assert frame["end"].iloc[0] == np.datetime64("2025-03-05")


def test_unreadable_number(folder, told):
    folder.write(
        "releases",
        [folder.point(n) for n in range(3)],
        release_id=["R1", "R2", "R3"],
        agent="stem weevil",
        date="2020-01-01",
        number=["200", "2 boxes", ""],
    )
    layers = folder.read()
    assert layers.vectors["releases"]["number"].isna().tolist() == [False, True, True]
    assert "number '2 boxes' is not a number; it is taken as missing.\n  Fix: Write it like 12.5." in told(
        layers, "value-unreadable"
    )


@pytest.mark.parametrize("column", ["number", "coordinate_uncertainty_m"])
def test_absent_optional_number_is_missing(folder, column):
    folder.write("releases", [folder.point()], release_id="R1", agent="stem weevil", date="2020-01-01")
    frame = folder.read().vectors["releases"]
    assert frame[column].dtype == np.float64
    assert frame[column].isna().all()


@pytest.mark.parametrize(
    ("dates", "fix"),
    [
        (
            ["03/04/2025", "05/06/2025"],
            'Say how they are written: date_format = "%d/%m/%Y" (day first) or date_format = "%m/%d/%Y" '
            "(month first).",
        ),
        (
            ["2025", "2024"],
            "A year alone is no day: write a day of it, for instance its 1 July as 2025-07-01.",
        ),
        (
            # 1 January 2023 is day 44,927 of a spreadsheet, so day 45,000 is 73 days later.
            ["45000", "45031"],
            "They look like the day numbers of a spreadsheet, 45000 for 2023-03-15: say so, date_format = "
            '"spreadsheet day", or give the column a date format there, and save the table anew.',
        ),
        (
            ["spring", "fall"],
            'Say how they are written, for instance date_format = "%d.%m.%Y"; they were read like 2026-11-01.',
        ),
    ],
)
def test_what_to_do_about_dates_depends_on_how_they_look(folder, found, dates, fix):
    folder.rules["max_bad_share"] = 0.05
    folder.write("infestations", [folder.square(0), folder.square(1)], survey_date=dates, **HOST)
    [finding] = found(folder.read(), "column-unreadable")
    assert finding.fix == fix


def test_a_day_the_calendar_does_not_have(folder, found):
    dates = ["31.02.2025", "15.03.2025"]
    folder.write("infestations", [folder.square(0), folder.square(1)], survey_date=dates, **HOST)
    folder.layers["infestations"]["date_format"] = "%d.%m.%Y"
    [finding] = found(folder.read(), "value-unreadable")
    assert finding.what == "survey_date '31.02.2025' is no day of the calendar; it is taken as missing."


@pytest.mark.parametrize(
    ("layer", "column", "how"),
    [
        ("releases", "date", "Correct the cell, or take the row out."),
        ("infestations", "survey_date", "Correct the cell, or leave it blank where nobody knows the day."),
    ],
)
def test_a_day_that_does_not_exist_is_told_as_the_file_has_it(folder, told, layer, column, how):
    """A GeoJSON of days is typed on the way, and its cells then come with slashes."""
    fields = HOST if layer == "infestations" else {"agent": "stem weevil"}
    rows = [
        {
            "type": "Feature",
            "properties": {**fields, column: day, "release_id": f"R{n}"},
            "geometry": shapely.geometry.mapping(
                folder.square(n) if layer == "infestations" else folder.point(n)
            ),
        }
        for n, day in enumerate(("2024-06-24", "2025-02-30"))
    ]
    text = json.dumps({"type": "FeatureCollection", "features": rows})
    (folder.folder / f"{layer}.geojson").write_text(text)
    folder.add(layer, f"{layer}.geojson")
    folder.rules["max_bad_share"] = 0.05
    assert told(folder.read(), "column-unreadable") == (
        f"stop: layers.{layer}\n"
        f"  {column} is not a day of the calendar in 1 of 2 filled cells: 2025-02-30; the limit is 5 percent "
        "(rules.max_bad_share).\n"
        f"  Fix: {how}"
    )
