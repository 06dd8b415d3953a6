import numpy as np
import pandas as pd
import pytest

HEAD = "ID,INSECT,DAY1,SEEN1,HOW1,N1,DAY2,SEEN2,N2,WHO"
ROWS = [
    "R1,stem weevil,2021-07-01,found,sweeps,12.5,2023-07-02,not found,0,Ada",
    "R2,stem weevil,,,,,2022-06-30,found,3,Bo",
    "R3,stem weevil,,,,,,,,",
]
FIRST = {"date": "DAY1", "result": "SEEN1", "method": "HOW1", "count": "N1"}
SECOND = {"date": "DAY2", "result": "SEEN2", "count": "N2"}


def flat(folder, rows=ROWS, repeated=(FIRST, SECOND), head=HEAD, **columns):
    (folder.folder / "flat.csv").write_text("\n".join([head, *rows]) + "\n")
    mapped = {"release_id": "ID", "agent": "INSECT"}
    folder.add("visits", "flat.csv", columns=mapped | columns, repeated=list(repeated))


def releases(folder, uncertainty_m=(12, 40, 5)):
    folder.write("releases", [folder.point(n) for n in range(3)], release_id=["R1", "R2", "R3"],
                 agent="stem weevil", date="2020-06-01", coordinate_uncertainty_m=list(uncertainty_m))  # fmt: skip


def test_each_dated_entry_of_a_row_is_a_visit_at_its_release(folder, found):
    releases(folder)
    flat(folder, observer="WHO")
    layers = folder.read()
    visits, put = layers.vectors["visits"], layers.vectors["releases"]
    assert visits["visit_id"].tolist() == ["R1/1", "R1/2", "R2/2"]
    assert visits["release_id"].tolist() == ["R1", "R1", "R2"]
    assert visits["row"].tolist() == [2, 2, 3]
    assert visits["date"].dt.strftime("%Y-%m-%d").tolist() == ["2021-07-01", "2023-07-02", "2022-06-30"]
    assert visits["found"].tolist() == [True, False, True]
    assert visits["method"].tolist() == ["sweeps", "", ""]
    assert visits["count"].tolist() == [12.5, 0.0, 3.0]
    assert visits["observer"].tolist() == ["Ada", "Ada", "Bo"]
    assert visits["coordinate_uncertainty_m"].tolist() == [12.0, 12.0, 40.0]
    assert visits.geometry.tolist() == [put.geometry[row] for row in (0, 0, 1)]
    assert [one.code for one in layers.findings if one.layer == "visits"] == ["visits-placed"]


def test_rows_with_a_position_of_their_own_keep_it(folder):
    releases(folder)
    rows = [f"{row},{-110 + 0.02 * n},47" for n, row in enumerate(ROWS)]
    flat(folder, rows, head=f"{HEAD},longitude_deg,latitude_deg")
    layers = folder.read()
    at = layers.vectors["visits"].geometry.to_crs(4326)
    assert at.x.round(6).tolist() == [-110.0, -110.0, -109.98]


def test_a_geopackage_of_typed_columns_is_unrolled(folder):
    dates = np.array(["2021-07-01", "NaT"], dtype="datetime64[ms]")
    folder.write("visits", [folder.point(0)] * 2, INSECT="stem weevil", DAY1=list(dates),
                 DAY2=list(dates[::-1]), SEEN="found", N1=[4, 0], N2=[1, 7])  # fmt: skip
    entries = [{"date": f"DAY{n}", "result": "SEEN", "count": f"N{n}"} for n in (1, 2)]
    folder.layers["visits"] |= {
        "columns": {"agent": "INSECT"},
        "repeated": entries,
        "date_format": "%d.%m.%Y",
    }
    visits = folder.read().vectors["visits"]
    assert visits["visit_id"].tolist() == ["row 1/1", "row 2/2"]
    assert visits["count"].tolist() == [4.0, 7.0]
    assert visits["date"].dt.strftime("%Y-%m-%d").tolist() == ["2021-07-01"] * 2


def test_a_table_without_any_visit_is_empty(folder):
    releases(folder)
    flat(folder, [ROWS[2]])
    assert len(folder.read().vectors["visits"]) == 0


def test_columns_that_are_not_there_are_told_all_at_once(folder, found):
    releases(folder)
    flat(folder, repeated=[FIRST | {"observer": "NOBODY"}, SECOND | {"date": "DAY_2"}])
    stops = found(folder.read(), "column-not-found")
    assert [(one.grade, one.what.split(",")[0], one.fix) for one in stops] == [
        ("stop", "repeated[1] names 'NOBODY' for observer", 'Write in its table: observer = "YOURS"'),
        ("stop", "repeated[2] names 'DAY_2' for date", 'Write in its table: date = "DAY2"'),
    ]


def test_a_result_without_a_date_is_told(folder, told):
    releases(folder)
    flat(folder, [ROWS[0], "R2,stem weevil,,found,,,2022-06-30,found,3,Bo"])
    layers = folder.read()
    assert layers.vectors["visits"]["visit_id"].tolist() == ["R1/1", "R1/2", "R2/2"]
    assert told(layers, "visit-undated") == (
        "caution: layers.visits\n"
        "  1 visit has a result but no date, and is not used: R2/1.\n"
        "  Fix: Fill in the date, or blank the result."
    )


@pytest.mark.parametrize("bad", ["R9", ""])
def test_a_row_without_a_place_costs_each_of_its_visits(folder, found, bad):
    releases(folder)
    folder.rules["max_bad_share"] = 0.9
    flat(folder, [ROWS[0].replace("R1", bad, 1), ROWS[1]])
    layers = folder.read()
    assert layers.vectors["visits"]["visit_id"].tolist() == ["R2/2"]
    assert len(found(layers, "geometry-missing")) == 2


def test_a_flat_table_says_the_same_as_a_table_of_visits(folder):
    releases(folder)
    flat(folder, observer="WHO")
    beside = folder.read().vectors["visits"]
    long = [["visit_id", "release_id", "agent", "date", "result", "method", "count", "observer"],
            ["R2/2", "r2", "stem weevil", "2022-06-30", "found", "", "3", "Bo"],
            ["R1/1", "R1", "Stem Weevil", "2021-07-01", "yes", "sweeps", "12.5", "Ada"],
            ["R1/2", "R1", "stem weevil", "2023-07-02", "absent", "", "0", "Ada"]]  # fmt: skip
    folder.write_table("visits", long)
    apart = folder.read().vectors["visits"].sort_values("visit_id", ignore_index=True)
    compared = [name for name in beside if name not in ("row", "result", "geometry")]
    assert set(compared) >= {"found", "release_link", "effort_hours", "voucher", "coordinate_uncertainty_m"}
    pd.testing.assert_frame_equal(apart[compared], beside[compared])
    assert apart.geometry.tolist() == beside.geometry.tolist()
