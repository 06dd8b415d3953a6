"""Which sign a visit looks for."""

import pytest

KNOWN = {"crew_day_releases": 1.5, "source_releases": 4.0, "enough_share": 1.0}


def sign(name, first_day, last_day, found_share, effort_hours=1.0):
    return {
        "name": name, "methods": [f"{name} search"], "first_day": first_day, "last_day": last_day,
        "found_share": found_share, "effort_hours": effort_hours,
    }  # fmt: skip


HOLES = sign("holes", "04-10", "06-05", 0.4)
ADULTS = sign("adults", "06-01", "07-15", 0.6)


@pytest.mark.parametrize(
    ("signs", "chosen"),
    [
        ([HOLES, ADULTS], "adults"),
        ([ADULTS, HOLES], "adults"),
        ([HOLES, ADULTS | {"effort_hours": 2.0}], "holes"),  # 0.4 an hour against 0.3
        ([ADULTS, HOLES | {"found_share": 0.6}], "holes"),  # as good, and earlier
    ],
)
def test_the_sign_worth_most_per_hour_is_looked_for_and_of_equals_the_earlier(scout, site, signs, chosen):
    visits = scout(site("A", presence_share=0.3), signs=signs, **KNOWN)
    assert visits.table["sign"].tolist() == [chosen]


def test_where_the_way_is_long_the_better_look_is_worth_its_hours(scout, site):
    """At the site 0.4 an hour beats 0.6 in two; with ten hours of way 0.6 / 12 beats 0.4 / 11."""
    signs = [HOLES, ADULTS | {"effort_hours": 2.0}]
    visits = scout(
        site("A", presence_share=0.3, crew_distance_km=0.0),
        site("B", presence_share=0.3, crew_distance_km=50.0),
        signs=signs,
        travel_km_per_hour=10.0,
        **KNOWN,
    )
    assert visits.table["sign"].tolist() == ["holes", "adults"]
    assert visits.table["visit_hours"].tolist() == [1.0, 12.0]


def test_a_sign_before_the_opening_comes_before_a_better_one_after_it(scout, site, windows_of):
    rows = [site("A", presence_share=0.3), site("B", presence_share=0.3)]
    windows = windows_of(("2027-05-20", "2027-06-20"), ("2027-06-20", "2027-07-10"))
    visits = scout(*rows, signs=[HOLES, ADULTS], windows=windows, **KNOWN)
    by_site = visits.table.set_index("site_id")
    assert by_site["sign"].to_dict() == {"A": "holes", "B": "adults"}
    assert [f"{day:%m-%d}" for day in by_site.loc[["A", "B"], "sign_last_day"]] == ["05-19", "06-19"]


def test_release_sites_are_seen_before_the_last_source_closes(scout, site, windows_of):
    """They could receive until September, but the only ranked source can be collected until 8 June."""
    rows = [site("A", presence_share=0.3), site("B", presence_share=0.3)]
    given = {
        "role": "release",
        "scores": [0.9, 0.8],
        "release_sites": 1,
        "signs": [HOLES, ADULTS],
        "windows": windows_of(("2027-05-20", "2027-06-08"), ("2027-08-01", "2027-09-01")),
        "receiving": windows_of(*[("2027-08-01", "2027-09-01")] * 2),
    }
    told = scout(*rows, sources=("A",), **given).table
    assert told["sign"].tolist() == ["holes", "holes"]
    assert [f"{day:%m-%d}" for day in told["sign_last_day"]] == ["05-19", "05-19"]
    later = scout(*rows, sources=("A", "B"), **given).table
    assert later["sign"].tolist() == ["adults", "adults"]
