"""A season of a few sites with records, supply and rankings by hand, ready to be scouted."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest

from geo_scout.model.criteria import CriteriaTables
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.ranking import Ranking
from geo_scout.model.season import Season
from geo_scout.model.supply import SUPPLY_COLUMNS
from geo_scout.planning import plan_scouting
from tests import site_books

SIGNS = [
    {
        "name": "adults",
        "methods": ["sweep net"],
        "first_day": "06-01",
        "last_day": "07-15",
        "found_share": 0.6,
        "effort_hours": 1.0,
    }
]
IN_SUPPLY = ("catch_date", "catch_per_hour", "releases_low", "releases", "releases_high")


@pytest.fixture(scope="session")
def books():
    return site_books


def season_of(profile, rules=None, **scouting):
    """Return a season from May to September 2027 with what it says of scouting."""
    season = site_books.season(
        profile, rules, start=pd.Timestamp("2027-05-01").date(), end=pd.Timestamp("2027-09-15").date()
    )
    table = type(season.settings.scouting).model_validate(scouting)
    return Season(
        season.path,
        season.settings.model_copy(update={"scouting": table}),
        season.agents,
        season.as_of,
        season.given,
    )


def evidence_of(rows):
    """Return records with supply; a row's keys of the supply are taken out before the books see it."""
    plain = [{name: value for name, value in row.items() if name not in IN_SUPPLY} for row in rows]
    supply = pd.DataFrame(
        {name: [row.get(name, np.nan) for row in rows] for name in SUPPLY_COLUMNS},
        columns=list(SUPPLY_COLUMNS),
    )
    supply["site_id"] = [row["site_id"] for row in rows]
    supply["catch_date"] = pd.to_datetime(supply["catch_date"])
    evidence = site_books.evidence([row for row in plain if row])
    sites = evidence.sites.assign(last_visit=pd.to_datetime(evidence.sites["last_visit"]))
    return replace(evidence, sites=sites, supply=supply)


def ranking_of(role, ids, scores=None, ranked=(), criteria=None):
    """Return a ranking; where the chance of waste counts, with a weight of 0.2 and full points."""
    table = pd.DataFrame(
        {
            "site_id": ids,
            "score": scores or [0.5] * len(ids),
            "status": ["ranked" if one in ranked else "left out" for one in ids],
            "stop_and_ask": "",
            "wasted_chance_points": 0.2,
        }
    )
    used = CriteriaTables().of(role) if criteria is None else criteria
    return Ranking(site_books.AGENT, role, used, {"wasted_chance": 0.2}, {}, table)


def left_out(site_id, role, code):
    return Exclusion(site_books.AGENT, role, site_id, code, "a reason", None, None, "", "a remedy")


@pytest.fixture
def site():
    """Return one site; keys of the supply may stand beside those of patch and records."""

    def make(site_id, **given):
        supply = {name: given.pop(name) for name in IN_SUPPLY if name in given}
        return site_books.site(site_id, **given) | supply

    return make


@pytest.fixture
def scout():
    """Return the list of one role for a few sites."""

    def run(
        *rows,
        role="source",
        codes=(),
        ranked=(),
        scores=None,
        signs=SIGNS,
        windows=None,
        receiving=None,
        sources=(),
        treatments=(),
        profile=None,
        rules=None,
        criteria=None,
        **scouting,
    ):
        agent = site_books.agent(signs=list(signs), **(profile or {}))
        ids = [row["site_id"] for row in rows]
        plain = [{name: value for name, value in row.items() if name not in IN_SUPPLY} for row in rows]
        unknown = site_books.windows(len(rows))
        found = {
            (site_books.AGENT, "source"): windows or unknown,
            (site_books.AGENT, "release"): receiving or unknown,
        }
        not_confirmed = [
            left_out(one, "source", "agent-not-confirmed")
            for one in ids
            if one not in ranked or role == "release"
        ]
        in_release = (
            ranked or tuple(one for one in ids if one not in dict(codes)) if role == "release" else ()
        )
        lists = plan_scouting(
            season_of(agent, rules, **scouting),
            agent,
            site_books.sites(plain, treatments=treatments),
            evidence_of(rows),
            [
                ranking_of("source", ids, None, ranked if role == "source" else sources),
                ranking_of("release", ids, scores, in_release, criteria),
            ],
            not_confirmed + [left_out(one, role, code) for one, code in codes],
            found,
        )
        return lists[0 if role == "source" else 1]

    return run


@pytest.fixture
def windows_of():
    """Return windows with the given days of opening and closing, one pair per site."""

    def make(*pairs):
        windows = site_books.windows(len(pairs))
        dates = windows.dates.copy()
        for row, (opening, closing) in enumerate(pairs):
            dates[1, row], dates[3, row] = np.datetime64(opening, "D"), np.datetime64(closing, "D")
        return replace(windows, dates=dates)

    return make
