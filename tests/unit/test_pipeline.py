import importlib.util
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

import geo_scout
from geo_scout import pipeline
from geo_scout.errors import InputMistakes, UnknownSite
from geo_scout.outputs.swap import OUR_FILES


def tiny_module():
    path = Path(__file__).parent / "tiny_season" / "conftest.py"
    spec = importlib.util.spec_from_file_location("tiny_season_files", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


TINY = tiny_module()


@pytest.fixture
def season_file(tmp_path):
    return TINY.write_tiny_season(tmp_path)


@pytest.fixture(scope="module")
def result(tmp_path_factory):
    return geo_scout.run(TINY.write_tiny_season(tmp_path_factory.mktemp("tiny")), write=False)


def change(season_file, *pairs, file=""):
    path = season_file.parent / file if file else season_file
    text = path.read_text(encoding="utf-8")
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")


def files_of(folder):
    return {path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()}


def test_each_agent_is_ranked_as_a_source_first_and_then_for_release(result):
    assert [(one.agent, one.role) for one in result.rankings] == [
        ("tiny weevil", "source"),
        ("tiny weevil", "release"),
    ]


def test_every_site_is_in_every_ranking_once(result):
    for ranking in result.rankings:
        assert sorted(ranking.table["site_id"]) == [f"TINY-{n}" for n in range(1, 7)]


def test_exclusions_and_table_tell_the_same(result):
    for ranking in result.rankings:
        ours = {one.site_id for one in result.exclusions if one.role == ranking.role}
        assert ours == set(ranking.left_out["site_id"])


def test_nothing_is_written_when_nothing_is_to_be_written(season_file):
    before = files_of(season_file.parent)
    result = geo_scout.run(season_file, write=False)
    assert files_of(season_file.parent) == before
    assert result.outputs is None


def test_outputs_go_where_they_are_sent(season_file, tmp_path):
    before = files_of(season_file.parent)
    elsewhere = tmp_path / "elsewhere"
    result = geo_scout.run(season_file, outputs=elsewhere)
    assert result.outputs == elsewhere
    # Whatever is not known as ours would be kept as the user's when the next run takes its place.
    assert files_of(elsewhere) == OUR_FILES - {"findings.geojson"}
    assert {name for name in files_of(season_file.parent) if not name.startswith("elsewhere")} == before


def test_the_steps_are_told_in_the_order_of_the_data(season_file):
    heard = []
    geo_scout.run(season_file, write=False, listen=heard.append)
    assert heard == [
        "reading the season", "reading layers", "finding patches", "weighing records", "reading rasters",
        "timing windows", "ranking", "planning visits",
    ]  # fmt: skip


def test_two_runs_agree_to_the_last_bit(season_file):
    first, second = (geo_scout.run(season_file, write=False) for _ in range(2))
    for one, other in zip(first.rankings, second.rankings, strict=True):
        pd.testing.assert_frame_equal(one.table, other.table, check_exact=True)


def test_frame_puts_the_right_shape_to_each_row(result):
    frame = result.frame("tiny weevil", "release")
    patches = result.sites["ashthorn"].patches.set_index("site_id")
    assert frame.crs == result.layers.crs
    for _, row in frame.iterrows():
        assert row.geometry.equals(patches.geometry[row["site_id"]])


def test_a_stop_finding_ends_the_run_with_every_mistake(season_file):
    (season_file.parent / "elevation.tif").unlink()
    (season_file.parent / "visits.gpkg").unlink()
    with pytest.raises(InputMistakes) as caught:
        geo_scout.run(season_file, write=False)
    assert len(caught.value.mistakes) >= 2


def test_check_ranks_nothing_and_tells_what_stops(season_file):
    assert pipeline.check(season_file).stops == ()
    (season_file.parent / "elevation.tif").write_bytes(b"no raster")
    checked = pipeline.check(season_file)
    assert [one.layer for one in checked.stops] == ["elevation"]


def test_a_required_raster_that_ends_short_leaves_out_who_lies_beyond(season_file):
    """The raster keeps its western five columns: sites 4 and 6 have no elevation, half of 3 lies beyond."""
    import rasterio

    path = season_file.parent / "elevation.tif"
    with rasterio.open(path) as file:
        cells, profile = file.read()[:, :, :6], {**file.profile, "width": 6}
    with rasterio.open(path, "w", **profile) as file:
        file.write(cells)
    result = geo_scout.run(season_file, write=False)
    missing = {one.site_id for one in result.exclusions if one.code == "required-layer-missing"}
    assert missing == {"TINY-4", "TINY-6"}
    row = result.ranking("tiny weevil", "release").table.set_index("site_id").loc["TINY-3"]
    assert row["elevation_m"] == pytest.approx(1570, abs=0.01)  # column 5, row 7, alone


def test_a_required_polygon_layer_leaves_out_who_it_does_not_reach(season_file):
    """Only Alder bend and half of Birch ford were surveyed for ashthorn; the rest for another weed."""
    TINY.write_layer(
        season_file.parent, "surveys",
        [TINY.square(0, 8, 2, 10), TINY.square(3.0, 5.0, 3.4, 6.0), TINY.square(5, 0, 10, 10)],
        host=["ashthorn", "ashthorn", "brindlebell"], survey_date=["2026-05-01"] * 3,
    )  # fmt: skip
    change(
        season_file,
        ("[[crews]]", '[layers.surveyed_areas]\npath = "surveys.gpkg"\nrequired = true\n\n[[crews]]'),
    )
    result = geo_scout.run(season_file, write=False)
    missing = {
        one.site_id
        for one in result.exclusions
        if one.code == "required-layer-missing" and one.role == "release"
    }
    assert missing == {"TINY-3", "TINY-4", "TINY-5", "TINY-6"}


def test_an_infestation_outside_every_required_district_is_left_out(season_file):
    TINY.write_layer(
        season_file.parent,
        "districts",
        [TINY.square(-1, -1, 8, 8)],
        district=[""],
        jurisdiction=["Harrowmere"],
    )
    change(season_file, ('path = "districts.gpkg"', 'path = "districts.gpkg"\nrequired = true'))
    result = geo_scout.run(season_file, write=False)
    missing = {
        one.site_id
        for one in result.exclusions
        if one.code == "required-layer-missing" and one.role == "release"
    }
    # Fir terrace (7.5 to 8.5) is cut at the district's edge; its eastern half lies outside, as do 1 and 4.
    assert {"TINY-1", "TINY-4"} <= missing
    assert not missing & {"TINY-2", "TINY-3", "TINY-5"}


def test_spacing_keeps_the_best_of_close_release_sites(season_file):
    """From Birch ford, the best, Alder bend lies 1.7 km east and 3.0 km north, Cedar flat 2.05 and 2.5 km."""
    change(season_file, ("min_infested_ha = 0.5", "min_infested_ha = 0.5\nmin_spacing_km = 3.5"))
    result = geo_scout.run(season_file, write=False)
    gaps_km = {one.site_id: one.measured for one in result.exclusions if one.code == "too-close"}
    expected = {"TINY-1": np.hypot(1.7, 3.0) / 0.9996, "TINY-3": np.hypot(2.05, 2.5) / 0.9996}
    assert gaps_km == pytest.approx(expected, abs=1e-4)
    assert result.ranking("tiny weevil", "release").ranked["site_id"].tolist() == ["TINY-2"]


def test_a_season_without_optional_layers_runs(season_file):
    """Infestations, one profile and a base are enough; climate and elevation are then open."""
    text = season_file.read_text(encoding="utf-8")
    start, end = text.index("[layers.releases]"), text.index("[climate]")
    season_file.write_text(text[:start] + text[end:], encoding="utf-8")
    result = geo_scout.run(season_file, write=False)
    table = result.ranking("tiny weevil", "release").ranked
    # Host and crew count 0.6 of the score; the other 0.4 are open, and the lower end is what ranks.
    np.testing.assert_allclose(table["score_high"] - table["score_low"], 0.4)
    assert (table["score"] == table["score_low"]).all()
    assert result.questions
    assert not len(result.ranking("tiny weevil", "source").ranked)


def test_a_season_whose_host_is_gone_has_empty_rankings(season_file):
    """A newer survey of the whole district found none."""
    TINY.write_layer(
        season_file.parent, "surveys", [TINY.square(-1, -1, 11, 11)],
        host=["ashthorn"], survey_date=["2026-09-01"], result=["none found"],
    )  # fmt: skip
    change(season_file, ("[[crews]]", '[layers.surveyed_areas]\npath = "surveys.gpkg"\n\n[[crews]]'))
    result = geo_scout.run(season_file, write=False)
    assert not result.is_feasible
    assert [len(one.table) for one in result.rankings] == [0, 0]


def test_the_law_is_asked_once_for_each_agent_and_jurisdiction(season_file):
    change(season_file, ("checked_on = 2026-06-01", "checked_on = 2025-06-01"), file="agents/weevil.toml")
    result = geo_scout.run(season_file, write=False)
    [question] = result.questions
    assert question.text() == (
        "STOP AND ASK: tiny weevil: the legal status in Harrowmere was checked on 2025-06-01, "
        "518 days before 2026-11-01; the limit is 365 days. Ask the authority in charge."
    )


def test_explain_tells_the_whole_chain_once(result):
    text = geo_scout.explain_result(result, "TINY-5")
    parts = text.split("\n\n")
    assert [part.splitlines()[0] for part in parts] == [
        parts[0].splitlines()[0],
        "What the records say of tiny weevil:",
        "Is tiny weevil there? Chance after each step, best (lowest to highest):",
        "What it could yield of tiny weevil:",
        "What a scouting visit is worth for tiny weevil:",
        "Climate and height, area-weighted over the patch:",
        "Around the patch:",
        "TINY-5 as a collection source for tiny weevil",
        "How sure is TINY-5's place among the sources of tiny weevil:",
        "TINY-5 as a release site for tiny weevil",
        "TINY-5 beside the other 3 ranked release sites for tiny weevil, whatever the weights:",
        "Collecting window for tiny weevil (unknown):",
    ]
    assert parts[0].startswith("TINY-5 Elm hollow, ashthorn (")
    assert text.count("From the infestation layer:") == 1
    # 144 grid ha; the fourth decimal is the change of the grid's scale over three kilometres.
    assert re.search(
        r"\n  5: 144\.115\d ha gross x 12\.5 % cover \(percent\) = 18\.0144 ha, 2026-06-01$", parts[0]
    )
    assert parts[1].splitlines()[1:] == [
        "  nearest confirmed population: in this patch, last found on 2023-06-01 (visit V1)",
        "  releases in the patch: R1 on 2020-05-01, found",
        "  latest visit: found on 2023-06-01",
        "  best-matching climate: Elm hollow, of 1 with a climate; Mahalanobis distance 0.0000 over "
        "1 variables, covariance from 14 climate cells",
        "  with d the site less the population and S the covariance below: D^2 = d S^-1 d, the share of a "
        "variable is d_j (S^-1 d)_j / D^2, and the climate gap is D / sqrt 2",
        "  among known climates: not scored, 1 known population of 10 needed: annual mean temperature 7.50 degC "
        "is within the known 7.50 to 7.50",
    ]
    # A plane of cells: the patch's mean lies within those of its own place.
    assert re.fullmatch(
        r"  elevation \d+\.\d m\n  variables: bio01 \d+\.\d{4} degC", parts[5].split("\n", 1)[1]
    )
    assert "Rank 1 of 1 ranked, 5 left out" in parts[7]
    assert "Not ranked. Left out: tiny weevil was found in this patch" in parts[9]
    assert parts[11].splitlines()[1:] == [
        "  no date",
        "  the profile has no window",
        "Receptive window for tiny weevil (unknown):",
        "  no date",
        "  the profile has no window",
    ]


def test_explain_of_a_ranked_release_site_names_the_population_and_the_possibility(result):
    text = geo_scout.explain_result(result, "TINY-2")
    # From (3.2..3.7, 5.1) to (2.1..3.9, 1.9) due south: 3.2 km on the grid, 3.201 km on the ground.
    assert (
        "nearest confirmed population: Elm hollow, 3.201 km away, last found on 2023-06-01 (visit V1)" in text
    )
    assert "releases in the patch: R2 on 2025-05-10, not visited" in text
    assert "latest visit: none on record" in text
    assert "Rank 1 of 3 ranked, 3 left out" in text


def test_explain_reads_the_season_itself(season_file, result):
    assert geo_scout.explain(season_file, "TINY-2") == geo_scout.explain_result(result, "TINY-2")


@pytest.mark.parametrize(
    ("asked", "hint"),
    [
        ("tiny-2", "did you mean TINY-2?"),
        ("Y-3", "did you mean TINY-3?"),
        ("elm", "sites look like TINY-1, TINY-2, TINY-3."),
    ],
)
def test_an_unknown_site_is_refused_with_a_hint(result, asked, hint):
    with pytest.raises(UnknownSite) as caught:
        geo_scout.explain_result(result, asked)
    assert str(caught.value) == f"there is no site {asked!r} in this season.\n  Fix: {hint}"


def test_two_agents_of_one_host_are_explained_one_after_the_other(result):
    """The second agent has the first's records under its own name."""
    [first] = result.season.agents
    second = first.model_copy(update={"name": "second weevil"})
    season = replace(result.season, agents=(first, second))
    double = replace(
        result,
        season=season,
        evidence={
            **result.evidence,
            "second weevil": replace(result.evidence["tiny weevil"], agent="second weevil"),
        },
        rankings=(*result.rankings, *(replace(one, agent="second weevil") for one in result.rankings)),
        windows={
            (agent.name, role): one for agent in season.agents for (_, role), one in result.windows.items()
        },
    )
    heads = [part.splitlines()[0] for part in geo_scout.explain_result(double, "TINY-5").split("\n\n")]
    assert len(heads) == 23
    assert heads[12:] == [
        "What the records say of second weevil:",
        "Is second weevil there? Chance after each step, best (lowest to highest):",
        "What it could yield of second weevil:",
        "What a scouting visit is worth for second weevil:",
        "Climate and height, area-weighted over the patch:",
        "Around the patch:",
        "TINY-5 as a collection source for second weevil",
        "How sure is TINY-5's place among the sources of second weevil:",
        "TINY-5 as a release site for second weevil",
        "TINY-5 beside the other 3 ranked release sites for second weevil, whatever the weights:",
        "Collecting window for second weevil (unknown):",
    ]


@pytest.mark.parametrize(
    ("keys", "method", "attitude"),
    [
        ('method = "weighted_product"', "weighted_product", None),
        ('method = "ideal_distance"', "ideal_distance", None),
        ('release_method = "ordered_average"\nrelease_attitude = 0.2', "ordered_average", 0.2),
    ],
)
def test_release_sites_can_be_ranked_by_another_method(season_file, result, keys, method, attitude):
    with season_file.open("a", encoding="utf-8") as file:
        file.write(f"\n[ranking]\n{keys}\n")
    other = geo_scout.run(season_file, write=False)
    ranking = other.ranking("tiny weevil", "release")
    assert (ranking.method, ranking.attitude) == (method, attitude)
    column = f"{method}_rank" if attitude is None else "ordered_average_0_2_rank"
    assert ranking.comparison.ranks[column].tolist() == [1, 2, 3]
    # Who is left out for what does not hang on the method, but for spacing, which this season has not.
    left_out = ranking.left_out.set_index("site_id")["exclusion_codes"].to_dict()
    plain = result.ranking("tiny weevil", "release")
    assert left_out == plain.left_out.set_index("site_id")["exclusion_codes"].to_dict()
    if method == "ideal_distance":
        assert {point.site_count for point in ranking.ideal.values()} == {3}
        sums = plain.comparison.ranks.set_index("site_id")["ideal_distance_rank"]
        assert ranking.ranked["site_id"].tolist() == sums.sort_values().index.tolist()


def test_spacing_follows_the_order_of_the_method_and_moves_no_score(season_file):
    """Sites that spacing leaves out still are among those the ideal is taken from."""
    with season_file.open("a", encoding="utf-8") as file:
        file.write('\n[ranking]\nmethod = "ideal_distance"\n')
    open_ = geo_scout.run(season_file, write=False).ranking("tiny weevil", "release")
    change(season_file, ("[rules]\n", "[rules]\nmin_spacing_km = 8\n"))
    spaced = geo_scout.run(season_file, write=False).ranking("tiny weevil", "release")
    crowded = spaced.left_out[spaced.left_out["exclusion_codes"] == "too-close"]
    assert len(crowded) > 0
    scores = open_.table.set_index("site_id")["score"]
    pd.testing.assert_series_equal(spaced.table.set_index("site_id")["score"][scores.index], scores)
    assert crowded["score"].max() <= spaced.ranked["score"].max()


def test_judgements_that_contradict_are_told_by_check_and_by_run(season_file):
    season_file.write_text(
        season_file.read_text(encoding="utf-8").replace("weight = 1\n", "").replace("weight = 2\n", "")
        + "\n[weights.release]\njudgements = [\n"
        '{more = "host_area", than = "crew_distance", times = 9},\n'
        '{more = "crew_distance", than = "climate_gap", times = 9},\n'
        '{more = "climate_gap", than = "host_area", times = 9},\n'
        '{more = "elevation_difference", than = "host_area", times = 1},\n'
        '{more = "elevation_difference", than = "crew_distance", times = 1},\n'
        '{more = "elevation_difference", than = "climate_gap", times = 1},\n]\n',
        encoding="utf-8",
    )
    checked, result = geo_scout.check(season_file), geo_scout.run(season_file, write=False)
    for findings in (checked.findings, result.findings):
        [found] = [one for one in findings if one.layer == "weights"]
        assert (found.code, found.grade) == ("judgements-inconsistent", "caution")
        assert "not accepted" in found.what
    text = geo_scout.explain_result(result, "TINY-2")
    assert "Weights, by comparing two at a time (principal eigenvector), summing to 1" in text
    assert "consistency ratio" in text
