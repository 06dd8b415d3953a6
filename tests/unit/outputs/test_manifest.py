import pytest

from geo_scout.outputs.manifest import build_manifest


def test_defaults_are_marked_and_stated_values_are_not(sample):
    settings = build_manifest(sample, "crew")["settings"]
    assert settings["rules.max_treated_share"] == {"value": 0.05, "default": True}
    assert settings["rules.min_infested_ha"] == {"value": 0.2, "default": False}
    assert settings["criteria.release.host_area.curve.from"]["default"] is False
    assert settings["layers.infestations.columns.host"] == {"value": "weed", "default": False}
    stated = {key for key in settings if not settings[key]["default"]}
    assert stated <= sample.season.given


def test_counts_by_reason_are_sites_not_reasons(sample):
    for one in build_manifest(sample, "crew")["counts"]["rankings"]:
        table = sample.ranking(one["agent"], one["role"]).table
        for code, count in one["left_out_by"].items():
            assert (
                count
                == table["exclusion_codes"].str.split("; ").map(lambda codes, code=code: code in codes).sum()
            )


def test_public_manifest_names_no_base(sample):
    assert "settings" not in build_manifest(sample, "public")


def test_the_manifest_says_what_the_visits_are_valued_by(sample):
    told = build_manifest(sample, "public")["scouting"]
    assert [(one["agent"], one["role"]) for one in told] == [(one.agent, one.role) for one in sample.scouting]
    assert [one["visits_valued_by"] for one in told] == [list(one.basis) for one in sample.scouting]
    assert all(one["visits_valued_by"] for one in told)


def test_weights_and_judgements_are_kept_with_what_came_of_them(sample):
    manifest = build_manifest(sample, "public")
    [release] = [one for one in manifest["weights"] if one["role"] == "release"]
    assert sum(release["weights"].values()) == pytest.approx(1, abs=1e-5)
    assert list(release["groups"]) == ["host", "climate_and_ground", "need", "reach"]
    [note] = release["consistency"]
    assert (note["table"], note["ratio"] < note["accepted_up_to"]) == ("saaty_1980", True)
    kept = build_manifest(sample, "crew")["settings"]["weights.release.judgements.1.times"]
    assert kept == {"value": 2.0, "default": False}


def test_each_ranking_says_what_other_methods_would_change(sample):
    methods = build_manifest(sample, "crew")["methods"]
    assert [(one["agent"], one["role"]) for one in methods] == [
        (one.agent, one.role) for one in sample.rankings
    ]
    for one in methods:
        assert (one["method"], len(one["by_other_methods"])) == ("weighted_sum", 4)
        for other in one["by_other_methods"]:
            assert -1 <= other["kendall_tau_b"] <= 1
            assert len(other["enters_top_n"]) == len(other["leaves_top_n"])
