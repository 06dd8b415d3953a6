"""What does not concern an audience is not in its file."""

from dataclasses import replace

import pytest

from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map.audience import private_texts
from geo_scout.outputs.map.write import build_page
from geo_scout.outputs.tables import build_tables

MANAGERS = ("Pell Basin Land Trust", "Orra Grazing Group")
OWNER, CONTACT = "Tamsin Orrell", "555-0142"
NEVER = ("PERMIT-4471", "Ines Varga")
CREW_BASE = "Fenner depot"


def _page(season: SeasonResult, audience: Audience, tables_for: Audience | None = None) -> str:
    return build_page(season, build_tables(season, tables_for or audience), audience)


def test_the_crew_sees_managers_owners_and_contacts(season: SeasonResult) -> None:
    page = _page(season, "crew")
    assert all(text in page for text in (*MANAGERS, OWNER, CONTACT, CREW_BASE))


def test_the_board_sees_managers_and_no_contact(season: SeasonResult) -> None:
    page = _page(season, "board")
    assert all(text in page for text in (*MANAGERS, OWNER))
    assert CONTACT not in page


@pytest.mark.parametrize("audience", ["crew", "board", "public"])
def test_permits_and_observers_are_in_no_copy(season: SeasonResult, audience: Audience) -> None:
    page = _page(season, audience)
    assert not any(text in page for text in NEVER)


@pytest.mark.parametrize("tables_for", ["public", "crew"])
def test_the_public_sees_none_of_it_even_if_the_tables_were_not_cleaned(
    season: SeasonResult, tables_for: Audience
) -> None:
    page = _page(season, "public", tables_for)
    assert not any(text in page for text in (*MANAGERS, OWNER, CONTACT, CREW_BASE, "refused access"))
    for name in ("manager", "permission", "owner", "contact", "permit"):
        assert f'"{name}":' not in page


def test_the_public_still_reads_the_reasons_that_are_nobodys_secret(season: SeasonResult) -> None:
    page = _page(season, "public")
    assert "Left out: The agent was found in this patch in 2024." in page
    assert "Left out: a rule of the season that is not for public copies." in page


def test_a_climate_that_is_told_from_a_managers_name_is_blank_for_the_public(season: SeasonResult) -> None:
    told = "from Pell Basin Land Trust: winters 4.1 degC colder"
    rankings = tuple(
        replace(one, table=one.table.assign(climate_gap_driver=told, novelty_note="within the range"))
        for one in season.rankings
    )
    made = replace(season, rankings=rankings)
    assert told in _page(made, "crew")
    assert "4.1 degC colder" not in _page(made, "public", "crew")
    assert "within the range" in _page(made, "public", "crew")


def test_land_classes_are_not_drawn_for_the_public(season: SeasonResult) -> None:
    assert "geo_json_land_ask" in _page(season, "crew")
    assert "geo_json_land_ask" not in _page(season, "public")


def test_short_texts_are_not_taken_for_names(season: SeasonResult) -> None:
    assert all(len(text) >= 4 for text in private_texts(season))
