import numpy as np

from geo_scout.outputs.value_curves import build_curves, write_value_curves


def test_every_criterion_in_use_is_drawn_for_every_ranking_heaviest_first(sample):
    blocks = build_curves(sample)
    assert len(blocks) == len(sample.rankings)
    for block, ranking in zip(blocks, sample.rankings, strict=True):
        weights = [panel.weight for panel in block.panels]
        assert weights == sorted(ranking.weights.values(), reverse=True)
        assert block.counts == f"{len(ranking.ranked)} ranked, {len(ranking.left_out)} left out"


def test_every_site_is_a_mark_or_is_counted_as_not_measured(sample):
    for block, ranking in zip(build_curves(sample), sample.rankings, strict=True):
        names = sorted(ranking.criteria, key=lambda name: -ranking.weights[name])
        for name, panel in zip(names, block.panels, strict=True):
            missing = int((~ranking.measures[name].known).sum())
            assert len(panel.ranked) + len(panel.left_out) + missing == len(ranking.table)
            assert panel.missing.startswith(f"{missing} not measured (") == (missing > 0)
            assert np.isfinite([*panel.ranked, *panel.left_out]).all()


def test_what_missing_measures_may_be_worth_is_told(sample):
    told = [panel.missing for block in build_curves(sample) for panel in block.panels if panel.missing]
    assert told
    assert all(one.endswith("the lower end counts") for one in told)


def test_the_picture_names_nobody_and_no_place(sample, tmp_path):
    write_value_curves(tmp_path / "value_curves.svg", sample)
    text = (tmp_path / "value_curves.svg").read_text(encoding="utf-8")
    managers = {one for sites in sample.sites.values() for one in sites.patches["manager"] if one}
    ids = {one for sites in sample.sites.values() for one in sites.site_ids}
    assert [one for one in managers | ids if one in text] == []
