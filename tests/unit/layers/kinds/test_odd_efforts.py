VISIT = {"agent": "stem weevil", "date": "2026-06-20", "method": "sweep net"}


def write_visits(folder, efforts, results):
    points = [folder.point(number) for number in range(len(efforts))]
    ids = [f"V{number + 1}" for number in range(len(efforts))]
    folder.write("visits", points, visit_id=ids, effort_hours=efforts, result=results, **VISIT)


def test_more_than_a_day_of_hours_in_one_visit_may_be_minutes(folder, told):
    write_visits(folder, [90.0, 24.0, 45.0], ["found", "found", "not found"])
    assert told(folder.read(), "effort-long") == (
        "caution: layers.visits\n"
        "  effort_hours is 90, 45 in 2 visits (V1, V3), more than 24 person-hours in one visit: minutes typed as "
        "hours?\n"
        "  Fix: Correct it if so; hours of several people or days, taken together, may be right."
    )


def test_no_hours_and_nothing_found_says_nothing(folder, told):
    write_visits(folder, [0.0, 0.0, 0.0, 1.0], ["not found", "found", "not found", "not found"])
    assert told(folder.read(), "effort-none") == (
        "caution: layers.visits\n"
        "  effort_hours is 0 in 2 visits (V1, V3) that found nothing; nobody looked, so they say nothing of the "
        "agent.\n"
        "  Fix: Write the hours, or leave the cell blank where nobody knows them."
    )


def test_other_efforts_are_no_matter(folder, found):
    write_visits(folder, [0.0, 24.0, 1.0], ["found", "found", "not found"])
    layers = folder.read()
    assert found(layers, "effort-long") == found(layers, "effort-none") == []
