import dataclasses

from geo_scout.outputs.summary import summarise


def test_the_summary_names_the_best_sites_of_each_ranking(sample):
    text = summarise(sample)
    for ranking in sample.rankings:
        assert f"for {ranking.agent}: {len(ranking.ranked)} ranked, {len(ranking.left_out)} left out" in text
        for site_id in ranking.ranked["site_id"].head(sample.season.settings.ranking.top_n):
            assert site_id in text


def test_each_ranking_with_dates_says_when_the_first_and_the_last_site_open(sample):
    lines = summarise(sample).splitlines()
    told = [line for line in lines if line.startswith("  windows open from ")]
    dated = [one.ranked.dropna(subset="window_opens") for one in sample.rankings]
    dated = [one for one in dated if len(one)]
    assert len(told) == len(dated) > 0
    for line, rows in zip(told, dated, strict=True):
        for word, day in (("from", rows["window_opens"].min()), ("to", rows["window_opens"].max())):
            first = rows[rows["window_opens"] == day].iloc[0]
            assert f"{word} {day.day} {day:%B %Y} ({first['site_id']})" in line


def test_a_season_with_nothing_to_say_says_so(sample):
    text = summarise(dataclasses.replace(sample, findings=(), questions=()))
    assert "Nothing was noticed in the layers." in text
    assert "STOP AND ASK" not in text


def test_what_is_off_for_want_of_a_layer_is_said(sample):
    settings = sample.season.settings
    fewer = settings.layers.model_copy(update={"visits": None, "tmin": None})
    season = dataclasses.replace(sample.season, settings=settings.model_copy(update={"layers": fewer}))
    text = summarise(dataclasses.replace(sample, season=season))
    assert "Off in this season, for want of a layer:" in text
    assert "- visits: no source can be confirmed" in text
    assert "- tmin: no climate gap" in text
    whole = summarise(sample)
    assert "- visits:" not in whole
    assert "- tmin:" not in whole


def test_ranked_lines_carry_the_rank_interval(sample):
    lines = summarise(sample).splitlines()
    row = sample.rankings[1].ranked.iloc[1]
    [line] = [one for one in lines if one.startswith("     2") and row["site_id"] in one]
    assert line.split()[1] == f"{row['rank_low']}-{row['rank_high']}"
    draws = sample.rankings[1].robustness.draws
    assert (
        f"  likely: the rank in nine of ten draws of weights and data with no limit against it, of {draws}"
        in lines
    )
    none = dataclasses.replace(sample.rankings[1], robustness=None)
    none = dataclasses.replace(none, table=none.table.drop(columns=["rank_low", "rank_high"]))
    assert "likely:" not in summarise(dataclasses.replace(sample, rankings=(none,)))


def test_weights_that_were_compared_are_told_with_their_consistency(sample):
    text = summarise(sample)
    assert (
        text.count(
            "  weights: groups by comparing two at a time (principal eigenvector); inside each as stated"
        )
        == 2
    )
    assert text.count("  consistency ratio of the judgements: 0.004 (saaty_1980)") == 2
    assert "combined by" not in text


def test_another_method_is_named_and_what_all_methods_agree_on_is_counted(sample):
    other = dataclasses.replace(sample.rankings[0], method="ordered_average", attitude=0.3)
    text = summarise(dataclasses.replace(sample, rankings=(other, *sample.rankings[1:])))
    assert "  combined by ordered average, attitude 0.3" in text
    ranks = sample.ranking("ashthorn stem weevil", "release").comparison.ranks
    stay = int((ranks["worst_rank"].head(10) <= 10).sum())
    assert f"  by every method of combining {stay} of the first 10 stay there; see methods.csv" in text
