import dataclasses

from geo_scout.outputs.summary import summarise


def test_the_summary_names_the_best_sites_of_each_ranking(sample):
    text = summarise(sample)
    for ranking in sample.rankings:
        assert f"for {ranking.agent}: {len(ranking.ranked)} ranked, {len(ranking.left_out)} left out" in text
        for site_id in ranking.ranked["site_id"].head(sample.season.settings.ranking.top_n):
            assert site_id in text


def test_a_season_with_nothing_to_say_says_so(sample):
    text = summarise(dataclasses.replace(sample, findings=(), questions=()))
    assert "Nothing was noticed in the layers." in text
    assert "STOP AND ASK" not in text
