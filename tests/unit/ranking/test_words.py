"""Paragraphs: every number in them stands in the row they are about."""

import re

import numpy as np
import pandas as pd
import pytest

from geo_scout.ranking.words import criterion_in_words, how_sure, percent_of_draws

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
def sample():
    import geo_scout

    return geo_scout.run("sample_layers/season.toml", write=False)


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
        "rank_low": 2,
        "rank_high": 5,
        "top_n_share": 0.93,
        "eligible_share": 1.0,
        "beats_next_share": 0.6,
    }
    return plain | given


def test_how_sure_in_plain_words():
    assert list(how_sure(row(), 10, "A-7")) == [
        "In nine of ten draws of weights and data it ranks between 2 and 5; it is among the first 10 in 93 % of "
        "the draws.",
        "It stands before A-7, the next, in 60 % of them.",
    ]
    assert list(how_sure(row(rank_low=3, rank_high=3, eligible_share=0.7, top_n_share=0.7), 10, "")) == [
        "In nine of ten draws of weights and data it ranks 3; it is among the first 10 in 70 % of the draws.",
        "In 30 % of them a limit would leave it out.",
    ]
    assert list(how_sure(row(rank_high=pd.NA, beats_next_share=np.nan), 10, "A-7")) == [
        "It is among the first 10 in 93 % of the draws of weights and data."
    ]


def test_only_all_is_all():
    assert [percent_of_draws(share) for share in (1.0, 0.996, 0.994, 0.004, 0.0)] == [
        "all", "more than 99 %", "99 %", "less than 1 %", "none"
    ]  # fmt: skip


def test_criteria_are_called_what_the_settings_call_them():
    assert criterion_in_words("host_area", "release") == "infested area of the patch"
    assert criterion_in_words("wasted_chance", "release") == "chance that the agents are wasted"
    assert criterion_in_words("of_later", "source") == "of later"
