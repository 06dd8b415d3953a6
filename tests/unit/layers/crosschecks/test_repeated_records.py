def test_records_entered_twice(folder, told):
    folder.write("releases", [folder.point(0), folder.point(0), folder.point(1)], release_id=["R1", "R2", "R3"],
                 agent="stem weevil", date="2026-01-01", number=200)  # fmt: skip
    layers = folder.read()
    assert len(layers.vectors["releases"]) == 3
    assert told(layers, "record-repeated") == (
        "caution: layers.releases\n"
        "  1 record is in the file more than once, alike in place and in every value but the id: R1 = R2.\n"
        "  Fix: Take one of them out if it was entered twice; each counts as a record of its own until then."
    )


def test_a_record_and_its_id_entered_twice_is_told_once_by_its_rows(folder, found, told):
    folder.write("visits", [folder.point(0), folder.point(1), folder.point(1)], visit_id=["V1", "V2", "V2"],
                 agent="stem weevil", date="2026-06-20", result="found")  # fmt: skip
    layers = folder.read()
    assert told(layers, "record-repeated") == (
        "caution: layers.visits\n"
        "  1 record is in the file more than once, alike in place and in every value: V2 (rows 2 and 3).\n"
        "  Fix: Take one of them out if it was entered twice; each counts as a record of its own until then."
    )
    assert found(layers, "id-repeated") == []


def test_many_of_them_are_counted(folder, told):
    points = [folder.point(n // 2) for n in range(14)]
    folder.write("requests", points, request_id=[f"Q{n}" for n in range(14)], owner="Ferrin")
    assert (
        "7 records are in the file more than once, alike in place and in every value but the id: Q0 = Q1, Q2 = Q3, "
        "Q4 = Q5, Q6 = Q7, Q8 = Q9 and 2 more."
    ) in told(folder.read(), "record-repeated")


def test_of_one_record_with_many_ids_the_first_are_named(folder, told):
    ids = [f"Q{n:03d}" for n in range(200)]
    folder.write("requests", [folder.point(0)] * 200, request_id=ids, owner="Ferrin")
    assert "the id: Q000 = Q001 = Q002 = Q003 = Q004 = Q005 and 194 more." in told(
        folder.read(), "record-repeated"
    )


def test_an_id_for_two_treatments(folder, told):
    folder.write("treatments", [folder.square(0), folder.square(1)], treatment_id="T1", kind="mowing",
                 start="2025-05-01")  # fmt: skip
    assert told(folder.read(), "id-repeated") == (
        "caution: layers.treatments\n"
        "  features that differ carry the same treatment_id: T1 (rows 1 and 2).\n"
        "  Fix: Give every feature an id of its own."
    )
