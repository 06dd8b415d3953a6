"""Three releases of the sample season, worked by hand from the records and the profiles' values.

What comes from other places is left out (no spread), so that each is a sum on paper; one place with arrivals
is done again with plain loops over everything that could have reached it.
"""

import datetime as dt
import math
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

import geo_scout
from geo_scout.evidence import gather_evidence
from geo_scout.layers import read_layers
from geo_scout.model.agent import Spread
from geo_scout.sites import find_patches

SAMPLE = Path(__file__).parents[2] / "sample_layers" / "season.toml"


@pytest.fixture(scope="module")
def season():
    return geo_scout.read_season(SAMPLE)


@pytest.fixture(scope="module")
def weigh(season):
    """Return the evidence of one agent, with its spread or without."""
    layers = read_layers(season)
    sites = {host: find_patches(layers, season, host) for host in season.hosts}

    def evidence(host, *, spreads):
        agent = next(agent for agent in season.agents if agent.host == host)
        if not spreads:
            agent = agent.model_copy(update={"spread": Spread()})
        alone = replace(season, agents=(agent,))
        return agent, sites[host], gather_evidence(sites[host], layers, alone, agent)

    return evidence


def release(evidence, release_id):
    rows = evidence.releases[evidence.releases["release_id"] == release_id]
    assert len(rows) == 1
    return rows.iloc[0]


def test_a_release_found_three_times_and_then_missed(weigh):
    """R2018-05: certain after the find of 2025 (larvae, nothing looks like them); the year to 2026 leaves 0.97.

    V079, 2026-08-07, 1.5 h of visual search: d = 1 - (1 - 0.40)^1.5 = 1 - 0.464758 = 0.535242.
    0.97 x 0.464758 / (1 - 0.97 x 0.535242) = 0.450815 / 0.480815 = 0.937606
    """
    _, _, evidence = weigh("ashthorn", spreads=False)
    found = release(evidence, "R2018-05")
    assert found["presence_share"] == pytest.approx(0.937606, abs=2e-6)
    assert (found["state"], found["state_year"]) == ("confirmed", 2025)


def test_a_release_twice_looked_for_in_vain_and_once_too_late_in_the_year(weigh):
    """R2020-02: 0.55 x 0.97^5 = 0.472304 in 2025. V037, 1 h of sweeping: d = 0.6.

    0.472304 x 0.4 / (1 - 0.472304 x 0.6) = 0.188922 / 0.716618 = 0.263630
    V050, 2025-07-30: beetles are in the net until 07-25, so it says nothing.
    2026: 0.263630 x 0.97 = 0.255721. V054, 1 h: 0.102288 / (1 - 0.153433) = 0.120827
    """
    _, _, evidence = weigh("brindlebell", spreads=False)
    missed = release(evidence, "R2020-02")
    assert missed["presence_share"] == pytest.approx(0.120827, abs=2e-6)
    assert (missed["state"], missed["state_year"]) == ("unlikely", 2026)


def test_a_release_found_perhaps_by_mistake_then_surely_then_missed_twice(weigh):
    """R2022-07: 0.55 x 0.97^2 = 0.517495 in 2024. V022, 2 h of visual search, found, no voucher:

    d = 1 - 0.5^2 = 0.75, f = 0.03: 0.388121 / (0.388121 + 0.482505 x 0.03) = 0.388121 / 0.402596 = 0.964045
    2025: x 0.97 = 0.935124; V038 found it in the net with a voucher: 1. V040 missed it ten days later: still 1.
    2026: 0.97. V055, 2 h of sweeping: d = 1 - 0.4^2 = 0.84: 0.97 x 0.16 / (1 - 0.8148) = 0.1552 / 0.1852 = 0.838013
    """
    _, _, evidence = weigh("brindlebell", spreads=False)
    doubted = release(evidence, "R2022-07")
    assert doubted["presence_share"] == pytest.approx(0.838013, abs=2e-6)
    assert (doubted["state"], doubted["state_year"]) == ("confirmed", 2025)


def test_with_arrivals_from_everywhere_a_plain_loop_over_all_origins_agrees(weigh):
    """R2022-04, never visited, with what others may have sent: exp(-km / (0.4 km/yr x (years - 1))), to 15 km.

    Its own 0.55 loses 0.03 a year; what came from others is worn down where it stems from. The chance of what
    stems from an origin is taken over its releases and visits with the same updates, no losses, here one after
    the other in plain Python.
    """
    agent, sites, evidence = weigh("brindlebell", spreads=True)
    own = release(evidence, "R2022-04")
    assert not (evidence.visits["site_id"] == own["site_id"]).any()
    patch = {one.site_id: one.geometry for one in sites.patches.itertuples()}
    places = {one.place_id: one for one in evidence.releases.itertuples()}
    for visit in evidence.visits[evidence.visits["found"]].itertuples():
        places.setdefault(visit.site_id or f"at visit {visit.visit_id}", visit)
    del places[own["place_id"]]
    origins = [
        (*_took(name, evidence, agent), patch.get(name, one.geometry).distance(patch[own["site_id"]]) / 1000)
        for name, one in places.items()
    ]
    alone, arrived = 0.0, 0.0
    for year in range(2016, 2027):
        end = dt.date(2026, 11, 1) if year == 2026 else dt.date(year, 12, 31)
        reached = 1 - math.prod(
            1 - took * _reach(gap, start, end) for start, took, gap in origins if gap <= 15
        )
        hazard = 1 - (1 - reached) / (1 - arrived)
        alone, arrived = alone * 0.97 * (1 - hazard), reached
        if year == 2022:
            alone = (1 - arrived) * 0.55
    assert own["presence_share"] == pytest.approx(alone + arrived, abs=1e-9)
    assert arrived > 0.1


def _reach(gap_km, start, end):
    years = (end - start).days / 365.25
    if gap_km == 0 and years >= 0:
        return 1.0
    scale_km = 0.4 * max(0.0, years - 1)
    return math.exp(-gap_km / scale_km) if scale_km > 0 else 0.0


def _took(place, evidence, agent):
    """Return the first day and the chance that the agent ever took in one place."""
    looks = {sign.methods[0]: sign for sign in agent.signs}
    events = []
    for one in evidence.releases.itertuples():
        if (one.site_id or f"at release {one.release_id}") == place:
            events.append((one.date.date(), 0, "release", None))
    for one in evidence.visits.itertuples():
        at = one.site_id or (f"at release {one.release_id}" if one.release_id else f"at visit {one.visit_id}")
        if at == place:
            events.append((one.date.date(), 1, "visit", one))
    chance, start, latest, year = 0.0, None, None, 2016
    for day, _, kind, one in sorted(events, key=lambda event: event[:2]):
        chance, year = chance * 0.97 ** (day.year - year), day.year
        if kind == "release":
            chance, start, latest = max(chance, 0.55), start or day, day
            continue
        sign = looks[one.method]
        visible = sign.first_day <= f"{day:%m-%d}" <= sign.last_day
        ready = latest is None or (day - latest).days >= math.floor(365.25)
        d = 1 - (1 - sign.found_share.value) ** one.effort_hours if visible and ready else 0.0
        if one.found:
            d = d or 1.0
            f = 0.0 if one.voucher or sign.wrong_share is None else sign.wrong_share.value
            ground = chance if latest is not None else max(chance, 0.55)
            start = start or day
            chance = ground * d / (ground * d + (1 - ground) * min(f, d))
        else:
            chance = chance * (1 - d) / (1 - chance * d) if chance * d < 1 else chance
    return start, chance * 0.97 ** (2026 - year)


def test_the_three_releases_stand_well_inside_their_patches(weigh):
    """Else their low value would count only the share of the circle of doubt that lies inside; best does not."""
    _, sites, evidence = weigh("brindlebell", spreads=False)
    own = release(evidence, "R2020-02")
    shape = sites.patches.set_index("site_id").geometry[own["site_id"]]
    radius_m = np.fmax(
        30.0, 0.0 if np.isnan(own["coordinate_uncertainty_m"]) else own["coordinate_uncertainty_m"]
    )
    inside = own.geometry.buffer(radius_m, quad_segs=64).intersection(shape).area / (math.pi * radius_m**2)
    # 0.40 is the lowest prior; the first chance of the low course is that times the share inside.
    low = 0.40 * min(1.0, inside)
    for years, d in ((5, 0.75), (1, 0.75)):
        low *= 0.94**years
        low = low * (1 - d) / (1 - low * d)
    assert own["presence_low_share"] == pytest.approx(low, rel=2e-3)
