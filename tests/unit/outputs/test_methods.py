import pandas as pd

from geo_scout.outputs.methods import build_blocks, build_methods, write_methods


def test_there_is_one_row_for_each_ranked_site_in_the_order_of_the_rankings(sample):
    table = build_methods(sample)
    expected = [site for one in sample.rankings for site in one.ranked["site_id"]]
    assert table["site_id"].tolist() == expected
    assert list(table.columns[:6]) == ["agent", "role", "rank", "site_id", "name", "method"]
    assert (table["weighted_sum_rank"] == table["rank"]).all()
    assert set(table["method"]) == {"weighted sum"}


def test_the_span_is_that_of_the_ranks_beside_it(sample):
    table = build_methods(sample)
    ranks = table[
        [name for name in table if name.endswith("_rank") and name not in ("best_rank", "worst_rank")]
    ]
    assert ranks.shape[1] == 5
    assert (ranks.max(axis=1) == table["worst_rank"]).all()
    assert (ranks.min(axis=1) == table["best_rank"]).all()
    assert (table["rank_span"] == table["worst_rank"] - table["best_rank"]).all()


def test_who_enters_and_leaves_is_told_at_the_site(sample):
    table, top_n = build_methods(sample), sample.season.settings.ranking.top_n
    by_product = (table["weighted_product_rank"] <= top_n).astype(bool)
    is_first = (table["rank"] <= top_n).astype(bool)
    entering = table["enters_top_n_by"].str.contains("weighted product")
    leaving = table["leaves_top_n_by"].str.contains("weighted product")
    pd.testing.assert_series_equal(entering, by_product & ~is_first, check_names=False)
    pd.testing.assert_series_equal(leaving, ~by_product & is_first, check_names=False)
    assert entering.sum() == leaving.sum() > 0


def test_the_picture_shows_every_site_that_any_method_puts_first(sample):
    for block, ranking in zip(build_blocks(sample, most=3), sample.rankings, strict=True):
        ranks = ranking.comparison.ranks
        assert {one.label for one in block.sites} == set(ranks.loc[ranks["best_rank"] <= 3, "site_id"])
        assert block.columns[0].agreement == "the season's"


def test_both_files_are_the_same_every_time(sample, tmp_path):
    texts = []
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        write_methods(tmp_path / name, sample)
        texts.append([(tmp_path / name / file).read_bytes() for file in ("methods.csv", "methods.svg")])
    assert texts[0] == texts[1]
