"""Limits: blind to the order of the sites, and a tighter one never brings a site in.

The spacing of release sites is the exception that is tested for what it does promise: whoever stays keeps
the distance, and whoever goes stands too close to someone better who stays.
"""

import datetime as dt
import importlib.util
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from geo_scout.exclusions import exclude_all, exclude_too_close

pytestmark = pytest.mark.slow
UNTIMED = settings(deadline=None, max_examples=30)  # the machine may be busy


def load_books():
    path = Path(__file__).parents[1] / "site_books.py"
    spec = importlib.util.spec_from_file_location("site_books", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


BOOKS = load_books()
LOOSE = {
    "min_infested_ha": 0.5,
    "occupied_km": 1.0,
    "max_forbidden_share": 0.5,
    "treated_within_days": 200,
    "max_treated_share": 0.5,
    "years_to_harvest": 2.0,
    "least": -15.0,
    "most": 25.0,
}
# Which way is tighter, and how far the tighter limit may go.
TIGHTER = {
    "min_infested_ha": st.floats(0.5, 5),
    "occupied_km": st.floats(1.0, 10),
    "max_forbidden_share": st.floats(0, 0.5),
    "treated_within_days": st.integers(200, 2000),
    "max_treated_share": st.floats(0, 0.5),
    "years_to_harvest": st.floats(2, 10),
    "least": st.floats(-15, 5),
    "most": st.floats(5, 25),
}
share = st.floats(0, 1)


@st.composite
def sites(draw, most=6):
    """Return sites with something to exclude them for: rows, land, treatments, populations and climate."""
    rows, land, treatments, climate = [], [], [], []
    populations = []
    for number in range(draw(st.integers(1, most))):
        name = f"A-{number}"
        confirmed = draw(st.booleans())
        released = draw(st.one_of(st.none(), st.dates(dt.date(2015, 1, 1), dt.date(2026, 10, 1))))
        rows.append(
            BOOKS.site(
                name,
                infested_ha=draw(st.floats(0, 5)),
                permission=draw(st.sampled_from(["yes", "no", "unknown"])),
                jurisdiction=draw(st.sampled_from(["Harrowmere", "Ostrane", ""])),
                purpose=draw(st.sampled_from(["new", "supplement", "nursery"])),
                confirmed=confirmed,
                population_id=name if confirmed else "at R9",
                population_distance_km=0.0 if confirmed else draw(st.floats(0.001, 10)),
                first_release=pd.NaT if released is None else pd.Timestamp(released),
                geometry=BOOKS.square(draw(st.floats(0, 8000)), draw(st.floats(0, 8000))),
            )
        )
        populations += [{"site_id": name}] if confirmed else []
        land.append((name, "crop", "forbid", draw(share)))
        day = draw(st.dates(dt.date(2021, 1, 1), dt.date(2027, 12, 31))).isoformat()
        treatments.append((name, "T1", "herbicide", day, day, draw(share)))
        climate.append(draw(st.one_of(st.just(np.nan), st.floats(-30, 30))))
    return rows, [*populations, {"population_id": "at R9"}], land, treatments, climate


def book(drawn, role, limits, order=None, spacing_km=None):
    rows, populations, land, treatments, climate = drawn
    order = range(len(rows)) if order is None else order
    rules = {name: limits[name] for name in LOOSE if name not in ("years_to_harvest", "least", "most")}
    if spacing_km is not None:
        rules["min_spacing_km"] = spacing_km
    profile = BOOKS.agent(
        establishment={"years_to_harvest": limits["years_to_harvest"]},
        climate={"limits": {"annual_mean_degc": {"least": limits["least"], "most": limits["most"]}}},
        legal_status=[*BOOKS.SURE_LAW, {"jurisdiction": "Ostrane", "status": "forbidden"}],
    )
    return BOOKS.book(
        *[rows[one] for one in order],
        role=role,
        profile=profile,
        populations=populations,
        rules=rules,
        land=land,
        treatments=treatments,
        climate={"bio01": [climate[one] for one in order]},
    )


def in_the_ranking(one):
    return set(one.sites.site_ids) - {exclusion.site_id for exclusion in exclude_all(one)}


@pytest.mark.parametrize("role", ["release", "source"])
@pytest.mark.parametrize("limit", sorted(TIGHTER))
@UNTIMED
@given(drawn=sites(), data=st.data())
def test_a_tighter_limit_never_adds_a_site(role, limit, drawn, data):
    tighter = {**LOOSE, limit: data.draw(TIGHTER[limit])}
    assert in_the_ranking(book(drawn, role, tighter)) <= in_the_ranking(book(drawn, role, LOOSE))


@pytest.mark.parametrize("role", ["release", "source"])
@UNTIMED
@given(drawn=sites(), random=st.randoms(use_true_random=False))
def test_the_order_of_the_sites_does_not_matter(role, drawn, random):
    order = list(range(len(drawn[0])))
    random.shuffle(order)
    plain, mixed = (book(drawn, role, LOOSE, one) for one in (None, order))

    def told(one):
        return sorted((e.site_id, e.code, e.sentence, e.remedy) for e in exclude_all(one))

    assert told(plain) == told(mixed)


@UNTIMED
@given(
    drawn=sites(most=9),
    spacing_km=st.floats(0.1, 5),
    random=st.randoms(use_true_random=False),
)
def test_spacing_keeps_the_better_ones_and_only_those_far_enough(drawn, spacing_km, random):
    one = book(drawn, "release", LOOSE, spacing_km=spacing_km)
    order = list(one.sites.site_ids)
    random.shuffle(order)
    gone = {exclusion.site_id: exclusion for exclusion in exclude_too_close(one, order)}
    purpose = one.evidence.sites.set_index("site_id")["purpose"]
    order = [site_id for site_id in order if purpose[site_id] != "supplement"]
    kept = [site_id for site_id in order if site_id not in gone]
    assert set(gone) <= set(order)
    shapes = dict(zip(one.sites.site_ids, one.sites.patches.geometry, strict=True))
    assert kept[:1] == order[:1]
    # On this plane metres are true to far better than a thousandth.
    gap_km = {(a, b): shapes[a].distance(shapes[b]) / 1000 for a in order for b in order}
    for place, first in enumerate(kept):
        assert all(gap_km[first, other] >= 0.999 * spacing_km for other in kept[place + 1 :])
    for site_id, exclusion in gone.items():
        better = [other for other in kept if order.index(other) < order.index(site_id)]
        assert min(gap_km[site_id, other] for other in better) == pytest.approx(exclusion.measured, abs=1e-5)
        assert exclusion.measured < spacing_km


@UNTIMED
@given(drawn=sites(), spacing_km=st.floats(0.1, 5))
def test_the_order_of_the_patches_does_not_matter_for_spacing(drawn, spacing_km):
    turned = list(range(len(drawn[0])))[::-1]
    order = [one["site_id"] for one in drawn[0]]
    answers = [
        [
            (e.site_id, e.sentence)
            for e in exclude_too_close(book(drawn, "release", LOOSE, one, spacing_km), order)
        ]
        for one in (None, turned)
    ]
    assert answers[0] == answers[1]
