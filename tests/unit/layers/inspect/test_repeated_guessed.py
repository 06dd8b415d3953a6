import pytest

from geo_scout.layers.inspect.inspect_files import inspect_files
from geo_scout.layers.inspect.kinds_guessed import guess_layer
from geo_scout.layers.inspect.repeated_guessed import guess_flat_visits

RELEASED = {
    "release_id": ["R1", "R2", "R3"],
    "agent": ["stem weevil"] * 3,
    "release_date": ["2020-06-01", "2020-06-02", "2020-06-03"],
    "number": ["200", "100", "300"],
}


def flat(table, columns):
    return guess_flat_visits(guess_layer("releases", table("releases.gpkg", RELEASED | columns)))


def setting(layer, key):
    return next((one for one in layer.settings if one.key == key), None)


def test_numbered_columns_are_visits_of_one_row(table):
    found = flat(
        table,
        {
            "check_1_date": ["27/07/2021", "", "03/07/2021"],
            "check_1_found": ["yes", "", "nothing"],
            "check_1_method": ["sweeps", "", "sweeps"],
            "check_1_hours": ["1.5", "", "2"],
            "check_2_date": ["", "02/07/2023", "01/07/2023"],
            "check_2_found": ["", "seen", "yes"],
            "check_2_method": ["", "sweeps", "sweeps"],
            "check_2_hours": ["", "1", "1"],
            "check_2_weather": ["", "dry", "wet"],
        },
    )
    assert found.kind == "visits"
    assert [guess.ours for guess in found.columns] == ["release_id", "agent"]
    repeated = setting(found, "repeated")
    assert repeated.value == [
        {"date": f"check_{n}_date", "result": f"check_{n}_found", "method": f"check_{n}_method",
         "effort_hours": f"check_{n}_hours"}
        for n in (1, 2)
    ]  # fmt: skip
    assert repeated.question.startswith("Does each row hold up to 2 visits to its release")
    # Day and month are told apart by the dates of all visits, and so are the words.
    assert setting(found, "date_format").value == "%d/%m/%Y"
    assert (setting(found, "yes").value, setting(found, "no").value) == (["yes", "seen"], ["nothing"])


@pytest.mark.parametrize(
    ("date", "result"), [("CHECK1", "SEEN1"), ("Date 1", "Result 1"), ("visited_1", "v1found"), ("d1", "r1")]
)
def test_short_names_are_told_by_their_cells(table, date, result):
    columns = {
        date: ["2021-07-01", "", "2021-07-03"],
        result: ["found", "", "not found"],
        date.replace("1", "2"): ["2023-07-01", "2023-07-02", ""],
        result.replace("1", "2"): ["found", "not found", ""],
    }
    assert setting(flat(table, columns), "repeated").value == [
        {"date": date.replace("1", n), "result": result.replace("1", n)} for n in "12"
    ]


@pytest.mark.parametrize(
    "columns",
    [
        {},
        {"check_1_date": ["2021-07-01"] * 3, "check_1_found": ["found"] * 3},
        {"check_1_date": ["2021-07-01"] * 3, "check_2_date": ["2022-07-01"] * 3},
        {"photo_1": ["a", "b", "c"], "photo_2": ["d", "e", "f"]},
    ],
    ids=["nothing numbered", "one visit", "no result", "pictures"],
)
def test_what_is_no_repetition(table, columns):
    assert flat(table, columns) is None


def test_a_flat_file_becomes_both_layers_and_its_rows_are_counted_once(tmp_path):
    lines = ["release_id,agent,release_date,number,longitude_deg,latitude_deg,date1,found1,date2,found2"]
    lines += [
        f"R{n},stem weevil,2020-06-0{n},200,-110.{n}5,47.{n}5,2021-07-0{n},found,2023-07-0{n},absent"
        for n in range(1, 6)
    ]
    (tmp_path / "releases.csv").write_text("\n".join(lines) + "\n")
    found = inspect_files([tmp_path / "releases.csv"], tmp_path / "draft")
    assert [layer.kind for layer in found.layers] == ["releases", "visits"]
    assert found.unused == ()
    assert [(agent.name, agent.rows) for agent in found.agents] == [("stem weevil", 5)]


def test_a_table_of_visits_beside_the_releases_goes_before(tmp_path):
    lines = ["release_id,agent,release_date,number,longitude_deg,latitude_deg,date1,found1,date2,found2"]
    lines += [
        f"R{n},stem weevil,2020-06-0{n},200,-110.{n}5,47.{n}5,2021-07-0{n},found,2023-07-0{n},absent"
        for n in range(1, 6)
    ]
    (tmp_path / "releases.csv").write_text("\n".join(lines) + "\n")
    visits = ["visit_id,release_id,agent,date,result"]
    visits += [f"V{n},R{n},stem weevil,2022-07-01,found" for n in range(1, 6)]
    (tmp_path / "visits.csv").write_text("\n".join(visits) + "\n")
    found = inspect_files([tmp_path], tmp_path / "draft")
    assert found.layer("visits").path.name == "visits.csv"
    assert setting(found.layer("visits"), "repeated") is None
