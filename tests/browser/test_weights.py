"""Weights in hand: the page scores and orders as a run with those weights would."""

import tomllib
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page, expect

from geo_scout.formulas.combining import normalise_weights, rank_by_score
from geo_scout.model.combination import Method
from geo_scout.model.ranking import Ranking
from geo_scout.model.result import SeasonResult
from geo_scout.model.weighing import Weighing
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables
from geo_scout.ranking.score import ScoredSites, score_sites

pytestmark = pytest.mark.browser

SET = "([role, list]) => seasonMap.weights.set(role, list)"
READ = """(role) => seasonMap.data.ranking(0, role).sites.filter((site) => site.group === 'ranked')
  .map((site) => [site.site_id, site.rank, site.score_low, site.score_high])"""


@pytest.fixture
def open_map(browser: Browser, tmp_path: Path) -> Iterator[Callable[[SeasonResult], Page]]:
    contexts = []
    said: list[str] = []

    def opened(season: SeasonResult) -> Page:
        write_map(tmp_path / "map.html", season, build_tables(season, "crew"), "crew")
        contexts.append(browser.new_context(offline=True, viewport={"width": 1280, "height": 800}))
        page = contexts[-1].new_page()
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto((tmp_path / "map.html").as_uri())
        return page

    yield opened
    for context in contexts:
        context.close()
    assert said == []


def _by(
    season: SeasonResult, method: Method, groups: dict[str, tuple[str, ...]] | None = None
) -> SeasonResult:
    """Return the season with every ranking made by a method, its order made anew."""
    rankings = []
    for ranking in season.rankings:
        scored = _scored(ranking, np.array(list(ranking.weights.values())), method)
        patches = season.sites[_host(season, ranking)].patches
        score = dict(zip(patches["site_id"], scored.score, strict=True))
        high = dict(zip(patches["site_id"], scored.score_high, strict=True))
        table = ranking.table.copy()
        is_ranked = table["status"] == "ranked"
        table.loc[is_ranked, "score"] = [score[site] for site in table.loc[is_ranked, "site_id"]]
        table["score_low"] = table["score"]
        table.loc[is_ranked, "score_high"] = [high[site] for site in table.loc[is_ranked, "site_id"]]
        ranks = rank_by_score(table.loc[is_ranked, "score"], table.loc[is_ranked, "site_id"].to_list())
        table.loc[is_ranked, "rank"] = ranks
        table = table.sort_values(["rank", "site_id"], na_position="last").reset_index(drop=True)
        weighing = Weighing(dict(ranking.weights), groups=groups or {}, how="")
        rankings.append(replace(ranking, table=table, method=method, weighing=weighing))
    return replace(season, rankings=tuple(rankings))


def _host(season: SeasonResult, ranking: Ranking) -> str:
    return next(agent.host for agent in season.season.agents if agent.name == ranking.agent)


def _scored(ranking: Ranking, weights: np.ndarray, method: Method) -> ScoredSites:
    shares = dict(zip(ranking.criteria, normalise_weights(weights).tolist(), strict=True))
    return score_sites(ranking.criteria, ranking.measures, Weighing(shares, how=""), method)


@pytest.mark.parametrize("method", ["weighted_sum", "weighted_product"])
def test_random_weights_give_the_order_and_scores_of_a_run(
    open_map: Callable[[SeasonResult], Page], make_season: Callable[..., SeasonResult], method: Method
) -> None:
    season = _by(make_season(60, relief_px=0), method)
    page = open_map(season)
    rng = np.random.default_rng(5)
    for ranking in season.rankings[:2]:
        ids = season.sites[_host(season, ranking)].patches["site_id"].to_numpy()
        ranked = set(ranking.ranked["site_id"])
        is_ranked = np.array([site_id in ranked for site_id in ids])
        for draw in range(25):
            weights = rng.exponential(size=len(ranking.criteria)) * (rng.random(len(ranking.criteria)) > 0.2)
            if not weights.any():
                weights[0] = 1.0
            page.evaluate(SET, [ranking.role, weights.tolist()])
            found = page.evaluate(READ, ranking.role)
            scored = _scored(ranking, weights, method)
            expected = rank_by_score(scored.score[is_ranked], list(ids[is_ranked]))
            order = dict(zip(ids[is_ranked], expected.tolist(), strict=True))
            low = dict(zip(ids, scored.score_low, strict=True))
            high = dict(zip(ids, scored.score_high, strict=True))
            assert {site: rank for site, rank, *_ in found} == order, draw
            for site, _, lowest, highest in found:
                assert lowest == pytest.approx(low[site], abs=1e-9)
                assert highest == pytest.approx(high[site], abs=1e-9)


def test_equal_scores_stand_by_site_id(
    open_map: Callable[[SeasonResult], Page], make_season: Callable[..., SeasonResult]
) -> None:
    season = make_season(30, relief_px=0)
    page = open_map(season)
    # All on cover alone, which many patches have in full.
    page.evaluate(SET, ["release", [0, 1, 0, 0, 0]])
    found = page.evaluate(READ, "release")
    ties = [(site, rank) for site, rank, low, _ in found if low == 1]
    assert len(ties) > 3
    assert sorted(ties) == sorted(ties, key=lambda one: one[1])


def _move(page: Page, slider: str, value: int) -> None:
    page.locator(slider).evaluate(
        "(input, value) => { input.value = value; input.dispatchEvent(new Event('input', { bubbles: true })); }",
        value,
    )


def test_a_slider_moves_list_map_and_card_at_once(
    open_map: Callable[[SeasonResult], Page], season: SeasonResult
) -> None:
    page = open_map(season)
    page.locator(".site-row").nth(2).click()
    before = page.locator(".site-card .figure strong").inner_text()
    plan = page.locator(".site-row").evaluate_all("rows => rows.map((row) => row.dataset.site)")
    page.locator("#tab-weights").click()
    _move(page, "#weight-crew_distance", 100)
    expect(page.locator(".weights-state")).to_contain_text("changed in hand")
    assert page.locator(".site-card .figure strong").inner_text() != before
    page.locator("#tab-sites").click()
    now = page.locator(".site-row").evaluate_all("rows => rows.map((row) => row.dataset.site)")
    ranks = {site: rank for site, rank, *_ in page.evaluate(READ, "release")}
    assert now[: len(ranks)] == sorted(ranks, key=ranks.__getitem__)
    assert now != plan
    for site, rank in ranks.items():
        places = plan.index(site) + 1 - rank
        move = page.locator(f".site-row[data-site='{site}'] .move")
        if places == 0:
            expect(move).to_have_count(0)
        else:
            expect(move).to_contain_text(f"{'up' if places > 0 else 'down'} {abs(places)}")
    first = page.evaluate(
        "() => { const s = seasonMap.state.ranking().sites.find((s) => s.rank === 1); return [s.latitude_deg, s.longitude_deg]; }"
    )
    flag = page.evaluate(
        "(at) => { const p = seasonMap.layers.map.latLngToContainerPoint(at); return [p.x, p.y]; }", first
    )
    box = (
        page.locator(".site-mark", has_text="1")
        .filter(has_text="1")
        .evaluate_all(
            "nodes => nodes.filter((node) => node.textContent === '1').map((node) => { const b = node.getBoundingClientRect(); return [b.left + 17, b.bottom]; })"
        )[0]
    )
    assert box == pytest.approx(flag, abs=3)
    page.locator("#tab-weights").click()
    page.get_by_role("button", name="Back to the plan’s weights").click()
    page.locator("#tab-sites").click()
    assert page.locator(".site-row").evaluate_all("rows => rows.map((row) => row.dataset.site)") == plan
    expect(page.locator(".move")).to_have_count(0)
    assert page.locator(".site-card .figure strong").inner_text() == before


def test_intervals_are_said_to_be_of_the_plan(
    open_map: Callable[[SeasonResult], Page], season: SeasonResult
) -> None:
    ranking = season.rankings[0]
    drawn = ranking.table.assign(rank_low=1, rank_high=4, top_n_share=0.68, eligible_share=1.0)
    page = open_map(replace(season, rankings=(replace(ranking, table=drawn), *season.rankings[1:])))
    expect(page.locator(".lead")).to_contain_text("ranks 1 to 4 in 9 of 10 draws")
    expect(page.locator(".lead .of-plan")).to_have_count(0)
    page.locator("#tab-weights").click()
    _move(page, "#weight-host_area", 1)
    page.locator("#tab-sites").click()
    expect(page.locator(".lead .of-plan")).to_contain_text("This is for the plan’s weights.")
    page.locator(".site-row").first.click()
    expect(page.locator(".site-card .facts-table.of-plan").first).to_contain_text("1 to 4")


def test_excluded_sites_stay_excluded(open_map: Callable[[SeasonResult], Page], season: SeasonResult) -> None:
    page = open_map(season)
    out = page.evaluate(
        "() => seasonMap.state.ranking().sites.filter((s) => s.rank === null).map((s) => s.site_id)"
    )
    assert out
    page.evaluate(SET, ["release", [0, 0, 0, 0, 1]])
    assert (
        page.evaluate(
            "() => seasonMap.state.ranking().sites.filter((s) => s.rank === null).map((s) => s.site_id)"
        )
        == out
    )


def test_groups_fold_and_move_together(
    open_map: Callable[[SeasonResult], Page], season: SeasonResult
) -> None:
    groups = {
        "host": ("host_area", "host_cover", "host_around"),
        "reach_and_climate": ("crew_distance", "climate_gap"),
    }
    page = open_map(_by(season, "weighted_sum", groups))
    page.locator("#tab-weights").click()
    expect(page.locator(".group-box")).to_have_count(2)
    plan = page.evaluate("() => seasonMap.weights.plan('release')")
    _move(page, ".group-box:first-of-type .of-group input", 80)
    now = page.evaluate("() => seasonMap.weights.of('release')")
    assert sum(now[:3]) == pytest.approx(0.8)
    assert now[0] / now[1] == pytest.approx(plan[0] / plan[1])
    assert now[3:] == plan[3:]
    page.locator(".group-box summary").first.click()
    expect(page.locator("#weight-host_area")).to_be_hidden()


def test_the_lines_for_the_season_file_hold_the_weights(
    open_map: Callable[[SeasonResult], Page], season: SeasonResult
) -> None:
    page = open_map(season)
    page.locator("#tab-weights").click()
    _move(page, "#weight-host_around", 70)
    page.locator(".lines summary").click()
    told = tomllib.loads(page.locator(".season-lines").inner_text())
    weights = {name: one["weight"] for name, one in told["criteria"]["release"].items()}
    assert list(weights) == list(season.rankings[0].criteria)
    shares = page.evaluate("() => seasonMap.weights.shares('release')")
    assert list(weights.values()) == pytest.approx(shares, abs=1e-6)


def test_other_methods_say_why_not(open_map: Callable[[SeasonResult], Page], season: SeasonResult) -> None:
    ranking = replace(season.rankings[0], method="ideal_distance")
    page = open_map(replace(season, rankings=(ranking, *season.rankings[1:])))
    page.locator("#tab-weights").click()
    expect(page.locator(".weights")).to_contain_text("only where points are added up or multiplied")
    expect(page.locator(".weights input")).to_have_count(0)


def test_all_weights_at_nothing_are_refused(
    open_map: Callable[[SeasonResult], Page], season: SeasonResult
) -> None:
    page = open_map(season)
    page.locator("#tab-weights").click()
    for name in season.rankings[0].criteria:
        _move(page, f"#weight-{name}", 0)
    assert sum(page.evaluate("() => seasonMap.weights.shares('release')")) == pytest.approx(1.0)
    expect(page.locator("#spoken")).to_have_text("At least one weight must be above 0.")
