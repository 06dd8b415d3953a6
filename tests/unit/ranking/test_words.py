"""Paragraphs: every number in them stands in the row they are about."""

import re

import numpy as np
import pandas as pd
import pytest

import geo_scout
from geo_scout.ranking import best_first, score_sites
from geo_scout.ranking.ranked_values import ranked_values
from geo_scout.ranking.words import criterion_in_words, how_sure, percent_of_draws, why_here
from tests import robust_sites as by_hand

NUMBER = re.compile(r"(?<![\w.-])\d+(?:\.\d+)?(?![\w-])")
SAID_ALWAYS = {"1"}  # "worth 0.04 of 1"


def numbers_in(text, ids):
    for site_id in sorted(ids, key=len, reverse=True):
        text = text.replace(site_id, "")
    return NUMBER.findall(text)


def figures_of(row):
    """Return every number of a row as it may be printed: itself, or in percent, or its rest to 100 percent."""
    values = [float(one) for one in row if isinstance(one, int | float | np.integer) and not pd.isna(one)]
    return values + [100 * one for one in values] + [100 * (1 - one) for one in values]


def is_a_figure(said, figures):
    decimals = len(said.partition(".")[2])
    return any(f"{one:.{decimals}f}" == said for one in figures)


@pytest.fixture(scope="module")
def sample(sample_season):
    return geo_scout.run(sample_season, write=False)


def test_each_number_of_a_paragraph_is_in_its_row(sample):
    count = 0
    for ranking in sample.rankings:
        ids = set(ranking.table["site_id"])
        allowed = SAID_ALWAYS | {str(len(ranking.ranked)), str(ranking.robustness.top_n)}
        for row in ranking.ranked.itertuples(index=False):
            # "more than 99 %", "less than 1 %" and "and 3 more" bound or count; the rest are figures.
            text = re.sub(r"more than 99 %|less than 1 %|and \d+ more", "", row.why_here)
            for said in set(numbers_in(text, ids)) - allowed:
                assert is_a_figure(said, figures_of(row)), (row.site_id, said, text)
                count += 1
    assert count > 500


def test_a_number_that_is_not_there_is_noticed(sample):
    row = next(sample.rankings[0].ranked.itertuples(index=False))
    assert not is_a_figure("123.457", figures_of(row))


def test_who_is_better_in_everything_is_so(sample):
    for ranking in sample.rankings:
        table = ranking.table.set_index("site_id")
        for site_id, row in table.iterrows():
            for better in re.findall(r"([A-Z]+-Q[\d.]*\d)(?= is at least as good)", str(row["why_here"])):
                for name in ranking.criteria:
                    theirs, own = table.loc[better, f"{name}_value"], row[f"{name}_value"]
                    assert pd.isna(own) or theirs >= own, (site_id, better, name)


def row(**given):
    plain = {
        "rank": 3,
        "rank_low": 2,
        "rank_high": 5,
        "top_n_share": 0.93,
        "eligible_share": 1.0,
        "beats_next_share": 0.6,
    }
    return plain | given


def test_how_sure_in_plain_words():
    assert list(how_sure(row(), 10, "A-7", 20)) == [
        "In nine of ten draws of weights and data it ranks between 2 and 5; it is among the first 10 in 93 % of "
        "the draws.",
        "It stands before A-7, the next, in 60 % of them.",
    ]
    assert list(how_sure(row(rank_low=3, rank_high=3, eligible_share=0.7, top_n_share=0.7), 10, "", 20)) == [
        "In nine of ten of the draws of weights and data in which no limit leaves it out (70 % of all) it ranks 3; it "
        "is among the first 10 in 70 % of all draws.",
    ]
    never = row(rank_high=pd.NA, beats_next_share=np.nan, eligible_share=0.7, top_n_share=0.0)
    assert list(how_sure(never, 10, "A-7", 20)) == [
        "It is among the first 10 in none of the draws of weights and data.",
        "In 30 % of all draws a limit would leave it out.",
    ]
    assert list(how_sure(row(rank_high=pd.NA, beats_next_share=np.nan), 10, "A-7", 20)) == [
        "It is among the first 10 in 93 % of the draws of weights and data."
    ]


def test_ranks_beyond_the_list_and_outside_of_the_draws_are_explained():
    assert list(how_sure(row(rank_high=22, beats_next_share=np.nan), 10, "", 20)) == [
        "In nine of ten draws of weights and data it ranks between 2 and 22 (sites left out today may come in); it "
        "is among the first 10 in 93 % of the draws."
    ]
    assert list(how_sure(row(rank=9, beats_next_share=np.nan), 10, "", 20))[1] == (
        "Its rank lies outside of that: what was not measured counts at the least it can be, and in the draws at all "
        "it can be."
    )


def paragraphs(method, values, weights, attitude=None):
    """Return the paragraphs of sites by three plain criteria whose values are their measures."""
    names = ("host_area", "host_cover", "wasted_chance")
    chosen = by_hand.criteria(**dict(zip(names, weights, strict=True)))
    unit = {"shape": "rising", "from": 0.0, "to": 1.0}
    chosen = {
        name: type(one).model_validate({"weight": one.weight, "curve": unit}) for name, one in chosen.items()
    }
    measures = {name: by_hand.measure(name, column) for name, column in zip(names, values.T, strict=True)}
    scored = score_sites(chosen, measures, method=method, attitude=attitude)
    ids = by_hand.ids_of(len(values))
    order = best_first(scored.score, ids)
    at = np.array([ids.index(one) for one in order])
    sites = ranked_values(order, at, chosen, measures, scored, np.full(len(ids), 9.0), 2)
    shown = [
        row(rank=place + 1, score=float(scored.score[at[place]]), rank_low=1, rank_high=9)
        for place in range(len(ids))
    ]
    return dict(zip(order, why_here(sites, "release", shown), strict=True))


def test_what_holds_a_product_back_is_what_would_raise_it():
    told = paragraphs(
        "weighted_product", np.array([[0.9, 0.2, 0.9], [0.9, 0.5, 0.0], [0.0, 0.9, 0.0]]), (1, 1, 1)
    )
    # The one value of 0 keeps A-1 at 0, whatever the others; of two no one alone does.
    assert "What holds it back most: chance that the agents are wasted (0 %, worth 0.00 of 1)." in told["A-1"]
    assert (
        "What holds it back: infested area of the patch (0.00 ha, worth 0.00 of 1) and chance that the agents are "
        "wasted (0 %, worth 0.00 of 1); with two values of 0 no single one would raise it." in told["A-2"]
    )
    assert "1 other site has this very score; only their ids decide the order among them." in told["A-1"]
    assert "It stands before" not in told["A-1"]
    assert "It stands before A-1" in told["A-0"]


def test_what_speaks_for_a_product_is_what_lifts_it_above_the_median():
    """Medians 0.5, 0.5 and 0.5: A-0 is above in the first alone, A-1 in none, A-2 in all."""
    values = np.array([[0.9, 0.4, 0.5], [0.5, 0.5, 0.2], [0.5, 0.9, 0.9]])
    told = paragraphs("weighted_product", values, (1, 1, 1))
    assert (
        "What lifts it most above the median of the list: infested area of the patch (0.90 ha" in told["A-0"]
    )
    assert "No single criterion lifts it above the median of the list." in told["A-1"]
    lifted = told["A-2"].partition("median of the list: ")[2].partition(". ")[0]
    assert "canopy cover" in lifted
    assert "chance" in lifted
    assert "infested" not in lifted


def test_what_holds_the_worst_value_back_is_that_value():
    told = paragraphs(
        "ordered_average", np.array([[0.9, 0.4, 0.8], [0.1, 0.9, 0.9]]), (1, 1, 1), attitude=0.0
    )
    assert "What holds it back most: canopy cover of the host (0 %, worth 0.40 of 1)." in told["A-0"]
    assert "What holds it back most: infested area of the patch (0.10 ha, worth 0.10 of 1)." in told["A-1"]


def test_only_all_is_all():
    assert [percent_of_draws(share) for share in (1.0, 0.996, 0.994, 0.004, 0.0)] == [
        "all", "more than 99 %", "99 %", "less than 1 %", "none"
    ]  # fmt: skip


def test_criteria_are_called_what_the_settings_call_them():
    assert criterion_in_words("host_area", "release") == "infested area of the patch"
    assert criterion_in_words("wasted_chance", "release") == "chance that the agents are wasted"
    assert criterion_in_words("of_later", "source") == "of later"
