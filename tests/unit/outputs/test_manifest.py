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
