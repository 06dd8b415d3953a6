"""The What if tab: two sites compared, a circle on the map, lines between sources and release sites."""

import dataclasses
import itertools
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
import shapely
from axe_playwright_python.sync_playwright import Axe
from geographiclib.geodesic import Geodesic
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect
from pyproj import CRS, Geod, Transformer

from geo_scout.model.criteria import Role
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.model.visible_text import printable
from geo_scout.outputs.map import write_map
from geo_scout.outputs.map.rankings import criterion_label
from geo_scout.outputs.tables import build_tables

pytestmark = [pytest.mark.browser, pytest.mark.slow]

WIDE, PHONE = {"width": 1280, "height": 800}, {"width": 375, "height": 740}
HOSTILE = '</script><img src=x onerror=window.bad=1>{{7*7}}`${window.bad=1}`"\u202e' + "W" * 2_000
RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
FIGURE = r"([+−±]\d+\.\d{3})"


@dataclasses.dataclass
class Opened:
    """A page with its What if tab, and everything it said that it should not."""

    page: Page
    wrong: list[str]

    def tab(self) -> Locator:
        self.page.locator("#tab-whatIf").click()
        return self.page.locator("#panel-whatIf")

    def choose(self, site_id: str, role: Role = "release") -> None:
        self.page.evaluate(
            """([siteId, role]) => {
              const { state } = seasonMap;
              if (state.role !== role) state.show(state.agentIndex, role);
              state.choose(siteId, 'map');
            }""",
            [site_id, role],
        )

    def compare(self, first: str, second: str, roles: tuple[Role, Role] = ("release", "release")) -> str:
        """Put two sites of the first agent into the fields, and return the sentence."""
        tab = self.tab()
        for number, (site_id, role) in enumerate(zip((first, second), roles, strict=True)):
            tab.locator(f"#compare-ranking-{number}").select_option(f"0 {role}")
            field = tab.locator(f"#compare-site-{number}")
            field.fill(site_id)
            field.press("Enter")
            field.dispatch_event("change")
        return tab.locator(".compare-sentence").text_content() or ""

    def assert_quiet(self) -> None:
        assert self.wrong == []


Opener = Callable[..., Opened]


@pytest.fixture(scope="module")
def season(make_season: Callable[..., SeasonResult]) -> SeasonResult:
    return make_season(relief_px=0)


@pytest.fixture(scope="module")
def plain_file(season: SeasonResult, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return _write(tmp_path_factory.mktemp("what_if") / "map.html", season, "crew")


def _write(path: Path, season: SeasonResult, audience: Audience) -> Path:
    write_map(path, season, build_tables(season, audience), audience)
    return path


@pytest.fixture
def open_map(browser: Browser, season: SeasonResult, plain_file: Path, tmp_path: Path) -> Iterator[Opener]:
    contexts: list[BrowserContext] = []
    plain = season

    def opened(
        season: SeasonResult, audience: Audience = "crew", *, phone: bool = False, **options: Any
    ) -> Opened:
        is_plain = season is plain and audience == "crew"
        path = plain_file if is_plain else _write(tmp_path / f"{len(contexts)}.html", season, audience)
        context = browser.new_context(
            offline=True, viewport=PHONE if phone else WIDE, is_mobile=phone, has_touch=phone, **options
        )
        contexts.append(context)
        page, wrong = context.new_page(), []
        page.on("console", lambda message: wrong.append(message.text))
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.goto(path.as_uri())
        page.wait_for_selector("html[data-ready]")
        return Opened(page, wrong)

    yield opened
    for context in contexts:
        context.close()


def _table(season: SeasonResult, role: Role = "release") -> pd.DataFrame:
    table = build_tables(season, "crew")[role]
    return table[table["agent"] == printable(season.season.agents[0].name)].set_index("site_id")


def _ranked(season: SeasonResult, role: Role = "release") -> pd.DataFrame:
    table = _table(season, role)
    return table[table["status"] == "ranked"]


def _changed(season: SeasonResult, role: Role, **news: Any) -> SeasonResult:
    """Return the season with the first agent's ranking of a role changed."""
    agent = season.season.agents[0].name
    rankings = tuple(
        dataclasses.replace(one, **news) if (one.agent, one.role) == (agent, role) else one
        for one in season.rankings
    )
    return dataclasses.replace(season, rankings=rankings)


def _figures(sentence: str) -> list[float]:
    return [float(one.replace("−", "-").replace("±", "")) for one in re.findall(FIGURE, sentence)]


def _labels(season: SeasonResult, role: Role = "release") -> dict[str, str]:
    """Return each criterion's label as the page writes it within a sentence, by name."""
    ranking = season.ranking(season.season.agents[0].name, role)
    labels = {name: criterion_label(name, role) for name in ranking.criteria}
    return {name: label[:1].lower() + label[1:] for name, label in labels.items()}


# ---- two sites


def test_the_sentence_has_the_points_of_the_table_and_adds_up_to_the_scores(
    open_map: Opener, season: SeasonResult
) -> None:
    ranked, labels = _ranked(season), _labels(season)
    first, second = ranked.index[0], ranked.index[-1]
    opened = open_map(season)
    sentence = opened.compare(second, first)
    ahead = ranked.loc[first, "score_low"] - ranked.loc[second, "score_low"]
    assert sentence.startswith(
        f"{ranked.loc[first, 'name']} is {ahead:.3f} ahead of {ranked.loc[second, 'name']}: "
    )
    by = {name: ranked.loc[first, f"{name}_points"] - ranked.loc[second, f"{name}_points"] for name in labels}
    named = [name for name in labels if labels[name] in sentence]
    assert 2 <= len(named) <= 3
    others = [abs(value) for name, value in by.items() if name not in named]
    for name in named:
        assert abs(by[name]) >= max(others)
        assert f"{labels[name]} {'+' if by[name] > 0 else '−'}{abs(by[name]):.3f}" in sentence
    assert sum(_figures(sentence)) == pytest.approx(ahead, abs=0.0025)
    # Bars: the first of the fields is A, at the left.
    for name, value in by.items():
        cell = opened.page.locator(f"[data-criterion={name}] .between")
        said = "level" if abs(value) < 5e-4 else f"{'B' if value > 0 else 'A'} +{abs(value):.3f}"
        expect(cell).to_contain_text(said)
        side = cell.locator(".for-second" if value > 0 else ".for-first")
        assert side.count() == (0 if said == "level" else 1)
    longest = max(by, key=lambda name: abs(by[name]))
    assert _bar_share(opened, longest) == pytest.approx(0.5, abs=0.02)
    cells = opened.page.locator("[data-criterion=host_area] > td")
    for cell, site in ((cells.nth(0), second), (cells.nth(2), first)):
        row = ranked.loc[site]
        expect(cell).to_contain_text(f"value {row['host_area_value']:.2f}")
        expect(cell).to_contain_text(f"{row['host_area_points']:.3f} of 0.333 points")
    table = opened.page.locator(".compare-table")
    for text in (f"Rank {len(ranked)} of {len(ranked)}", "Score range", "Is the agent there?"):
        expect(table).to_contain_text(text)
    opened.assert_quiet()


def test_two_or_three_criteria_are_named_that_make_up_most_of_the_difference(
    open_map: Opener, season: SeasonResult
) -> None:
    ranked, labels = _ranked(season), _labels(season)
    pairs = [list(pair) for pair in itertools.combinations(ranked.index, 2)]
    sentences = open_map(season).page.evaluate(
        """(pairs) => pairs.map((pair) => seasonMap.compareFigures.sentence(
          ...pair.map((siteId) => ({ agentIndex: 0, role: 'release', siteId }))))""",
        pairs,
    )
    counts = set()
    for (first, second), sentence in zip(pairs, sentences, strict=True):
        points = ranked[[f"{name}_points" for name in labels]].to_numpy()
        rows = [ranked.index.get_loc(first), ranked.index.get_loc(second)]
        by = dict(zip(labels, np.abs(points[rows[0]] - points[rows[1]]), strict=True))
        named = [name for name in labels if labels[name] in sentence]
        share = sum(by[name] for name in named) / sum(by.values())
        assert len(named) == 3 or (len(named) == 2 and share > 0.795)
        two = sum(sorted(by.values())[-2:]) / sum(by.values())
        assert len(named) == 2 or two < 0.805
        counts.add(len(named))
    assert counts == {2, 3}


def _bar_share(opened: Opened, name: str) -> float:
    bar = opened.page.locator(f"[data-criterion={name}] .split-bar")
    whole, part = bar.bounding_box(), bar.locator("i").bounding_box()
    assert whole is not None
    assert part is not None
    return float(part["width"] / (whole["width"] - 2))


def test_it_follows_the_weights_in_hand(open_map: Opener, season: SeasonResult) -> None:
    ranked, labels = _ranked(season), _labels(season)
    first, second = ranked.index[:2]
    opened = open_map(season)
    opened.compare(first, second)
    names = list(labels)
    only = names.index("host_cover")
    opened.page.evaluate(
        "list => seasonMap.weights.set('release', list)",
        [float(number == only) for number in range(len(names))],
    )
    by = ranked.loc[first, "host_cover_value"] - ranked.loc[second, "host_cover_value"]
    sentence = opened.page.locator(".compare-sentence").text_content() or ""
    assert f"is {abs(by):.3f} ahead" in sentence
    assert sentence.endswith(f"{labels['host_cover']} +{abs(by):.3f}.")
    expect(opened.page.locator(".comparison")).to_contain_text("the weights changed in hand")


def _as_product(season: SeasonResult) -> SeasonResult:
    """Return the season with the release sites scored by a product, worked out here."""
    ranking = season.ranking(season.season.agents[0].name, "release")
    values = np.column_stack([ranking.low_values[name] for name in ranking.criteria])
    weights = np.array([ranking.weights[name] for name in ranking.criteria])
    order = season.sites[season.season.agents[0].host].patches["site_id"]
    score = pd.Series(np.prod(values**weights, axis=1), index=order)
    table = ranking.table.assign(score=score.loc[ranking.table["site_id"]].to_numpy())
    table = table.assign(score_low=table["score"], score_high=table["score"])
    is_ranked = table["status"] == "ranked"
    best_first = table[is_ranked].sort_values("score", ascending=False, kind="stable")
    best_first["rank"] = np.arange(1, len(best_first) + 1)
    high = {name: ranking.low_values[name] for name in ranking.criteria}
    return _changed(
        season,
        "release",
        method="weighted_product",
        high_values=high,
        table=pd.concat([best_first, table[~is_ranked]], ignore_index=True),
    )


def test_of_a_product_the_logarithms_add_up(open_map: Opener, season: SeasonResult) -> None:
    changed = _as_product(season)
    ranked, labels = _ranked(changed), _labels(changed)
    positive = ranked[ranked["score_low"] > 0]
    first, second = positive.index[0], positive.index[-1]
    sentence = open_map(changed).compare(first, second)
    factor = positive.loc[first, "score_low"] / positive.loc[second, "score_low"]
    assert f"is {factor:.3f} times that of" in sentence
    whole, *parts = _figures(sentence)
    assert whole == pytest.approx(np.log(factor), abs=6e-4)
    assert sum(parts) == pytest.approx(np.log(factor), abs=0.003)
    ranking = changed.ranking(changed.season.agents[0].name, "release")
    host = changed.sites[changed.season.agents[0].host].patches["site_id"].tolist()
    for name in [one for one in labels if labels[one] in sentence]:
        low = ranking.low_values[name]
        by = ranking.weights[name] * np.log(low[host.index(first)] / low[host.index(second)])
        assert f"{labels[name]} {'+' if by > 0 else '−'}{abs(by):.3f}" in sentence


def test_of_a_product_that_is_nothing_it_says_which_value_is_0(
    open_map: Opener, season: SeasonResult
) -> None:
    changed = _as_product(season)
    ranked, labels = _ranked(changed), _labels(changed)
    nought = ranked[ranked["score_low"] == 0].index
    assert len(nought) > 0
    first, second = ranked.index[0], nought[-1]
    opened = open_map(changed)
    sentence = opened.compare(second, first)
    ranking = changed.ranking(changed.season.agents[0].name, "release")
    row = changed.sites[changed.season.agents[0].host].patches["site_id"].tolist().index(second)
    noughts = [name for name in labels if ranking.low_values[name][row] == 0]
    assert sentence.startswith(f"{ranked.loc[second, 'name']} scores 0,")
    assert all(labels[name] in sentence for name in noughts)
    for name in noughts:
        expect(opened.page.locator(f"[data-criterion={name}] .between")).to_contain_text("B; the other 0")
    opened.assert_quiet()


def test_where_points_do_not_add_up_only_values_are_compared(open_map: Opener, season: SeasonResult) -> None:
    changed = _changed(season, "release", method="ideal_distance")
    ranked = _ranked(changed)
    opened = open_map(changed)
    sentence = opened.compare(*ranked.index[:2])
    assert "The points alone do not add up to it." in sentence
    assert _figures(sentence) == []
    by = ranked["host_cover_value"].iloc[0] - ranked["host_cover_value"].iloc[1]
    expect(opened.page.locator("[data-criterion=host_cover] .between")).to_contain_text(f"+{abs(by):.3f}")
    assert "points" not in (opened.page.locator(".compare-table").text_content() or "")


def test_a_site_left_out_is_compared_by_its_reasons_and_other_rankings_by_what_both_have(
    open_map: Opener, season: SeasonResult
) -> None:
    table = _table(season)
    out = table[table["status"] == "left out"]
    opened = open_map(season)
    sentence = opened.compare(_ranked(season).index[0], out.index[0])
    assert sentence.startswith(f"{out['name'].iloc[0]} is left out")
    expect(opened.page.locator(".compare-table .of-text").first).to_contain_text(out["reasons"].iloc[0])
    expect(opened.page.locator(".compare-table")).to_contain_text("not scored")
    agent = season.season.agents[0].name
    both = [
        name
        for name in season.ranking(agent, "release").criteria
        if name in season.ranking(agent, "source").criteria
    ]
    sentence = opened.compare(
        _ranked(season).index[0], _ranked(season, "source").index[0], ("release", "source")
    )
    assert "whose scores do not compare" in sentence
    shown = opened.page.locator("[data-criterion]")
    assert [one.get_attribute("data-criterion") for one in shown.all()] == both
    expect(opened.page.locator(".compare-table")).to_contain_text("Collection source")
    assert "points" not in (opened.page.locator(".compare-table").text_content() or "")


def test_from_a_card_by_the_keyboard_alone(open_map: Opener, season: SeasonResult) -> None:
    opened = open_map(season)
    page = opened.page
    rows = page.locator("#sites .site-row")
    ids = [rows.nth(number).get_attribute("data-site") for number in (0, 1)]
    names = [rows.nth(number).locator(".name").text_content() for number in (0, 1)]
    told_twice = season.sites[next(iter(season.sites))].patches["name"].value_counts()
    names = [
        f"{name} ({site_id})" if told_twice[name] > 1 else name
        for name, site_id in zip(names, ids, strict=True)
    ]
    rows.first.focus()
    page.keyboard.press("Enter")
    page.locator("#card").get_by_role("button", name="Compare with").focus()
    page.keyboard.press("Enter")
    bar = page.get_by_role("group", name="Compare two sites")
    expect(bar).to_contain_text(f"compare {names[0]} with")
    expect(rows.first).to_be_focused()
    page.keyboard.press("Escape")
    expect(bar).to_be_hidden()
    page.keyboard.press("Enter")
    page.locator("#card").get_by_role("button", name="Compare with").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")  # the same site again is no answer
    expect(bar).to_be_visible()
    page.keyboard.press("Escape")
    rows.first.focus()
    page.keyboard.press("Enter")
    page.locator("#card").get_by_role("button", name="Compare with").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    expect(page.locator("#panel-whatIf")).to_be_visible()
    expect(page.locator(".comparison").locator("xpath=preceding-sibling::h3")).to_be_focused()
    assert [one.text_content() for one in page.locator(".compare-table thead bdi").all()] == names
    opened.assert_quiet()


def test_a_name_that_is_none_or_of_many_is_told(open_map: Opener, season: SeasonResult) -> None:
    patches = season.sites[season.season.agents[0].host].patches
    twice = patches["name"].mode().iloc[0]
    count = int((patches["name"] == twice).sum())
    opened = open_map(season)
    tab = opened.tab()
    field = tab.locator("#compare-site-0")
    for typed, told in (("nowhere", "Site A: no site"), (twice, f"{count} sites" if count > 1 else "")):
        field.fill(typed)
        field.dispatch_event("change")
        expect(tab.locator(".trouble").first).to_contain_text(told)
    field.fill(patches["site_id"].iloc[0])
    field.dispatch_event("change")
    expect(field).to_have_value(f"{patches['name'].iloc[0]} ({patches['site_id'].iloc[0]})")


# ---- a circle


def _shares(patches: Any, latitude_deg: float, longitude_deg: float, radius_m: float) -> Any:
    """Return the share of each patch's area inside a geodesic circle, by shapely and pyproj."""
    turns = np.linspace(0, 360, 1440, endpoint=False)
    same = np.full_like(turns, 1.0)
    east, north, _ = Geod(ellps="WGS84").fwd(
        longitude_deg * same, latitude_deg * same, turns, radius_m * same
    )
    plane = CRS.from_proj4(f"+proj=laea +lat_0={latitude_deg} +lon_0={longitude_deg} +datum=WGS84")
    to_plane = Transformer.from_crs("EPSG:4326", plane, always_xy=True)
    circle = shapely.Polygon(np.column_stack(to_plane.transform(east, north)))
    placed = shapely.transform(
        patches.geometry.to_crs("EPSG:4326").to_numpy(),
        lambda one: np.column_stack(to_plane.transform(*one.T)),
    )
    return shapely.area(shapely.intersection(placed, circle)) / shapely.area(placed)


def _with_parts(season: SeasonResult) -> SeasonResult:
    """Return the season with a hole in every other patch, and a far second part in every third."""
    host = season.season.agents[0].host
    patches = season.sites[host].patches.copy()
    shapes = []
    for number, shape in enumerate(patches.geometry):
        at = shape.centroid
        cut = shape.difference(shapely.box(at.x - 90, at.y - 160, at.x + 200, at.y + 40))
        second = shapely.affinity.translate(shapely.affinity.scale(cut, 0.5, 0.6), 2_500, -900)
        plain = cut if number % 2 else shape
        shapes.append(shapely.union_all([plain, second]) if number % 3 == 0 else plain)
    changed = dataclasses.replace(season.sites[host], patches=patches.set_geometry(shapes, crs=patches.crs))
    return dataclasses.replace(season, sites={**season.sites, host: changed})


def test_hectares_in_a_circle_are_those_of_shapely(open_map: Opener, season: SeasonResult) -> None:
    changed = _with_parts(season)
    patches = changed.sites[changed.season.agents[0].host].patches
    assert {len(one.interiors) > 0 for one in shapely.get_parts(patches.geometry.to_numpy())} == {True, False}
    assert set(shapely.get_type_id(patches.geometry.to_numpy())) == {3, 6}
    opened = open_map(changed)
    rng, count = np.random.default_rng(5), 60
    places = patches[["latitude_deg", "longitude_deg"]].to_numpy()
    centres = places[np.arange(count) % len(places)] + rng.normal(0, 0.003, (count, 2))
    radius_m = 10 ** np.where(
        np.arange(count) % 2, rng.uniform(2.2, 3.0, count), rng.uniform(2.2, 4.6, count)
    )
    circles = np.column_stack([centres, radius_m]).tolist()
    found = opened.page.evaluate(
        """(circles) => circles.map(([latitude_deg, longitude_deg, metres]) => {
          const found = seasonMap.circleContents({ latitude_deg, longitude_deg }, metres);
          return [found.infested_ha, found.gross_ha, found.patches.map(({ site, share }) => [site.site_id, share])];
        })""",
        circles,
    )
    cut = 0
    for circle, (infested_ha, gross_ha, inside) in zip(circles, found, strict=True):
        share = _shares(patches, *circle)
        cut += int(((share > 0.02) & (share < 0.98)).sum())
        assert infested_ha == pytest.approx((patches["infested_ha"] * share).sum(), rel=0.005, abs=1e-4)
        assert gross_ha == pytest.approx((patches["gross_ha"] * share).sum(), rel=0.005, abs=1e-4)
        shares = dict(inside)
        for site_id, one in zip(patches["site_id"], share, strict=True):
            assert shares.get(site_id, 0.0) == pytest.approx(one, rel=0.005, abs=1e-4)
    assert cut > 30, "many patches were cut by the edge"


def test_the_circle_that_is_drawn_is_geodesic(open_map: Opener, season: SeasonResult) -> None:
    opened = open_map(season)
    tab = opened.tab()
    tab.locator("#circle-centre").fill("46.1, -117.05")
    tab.locator("#circle-km").fill("120")
    tab.locator("#circle-km").press("Enter")
    drawn = opened.page.evaluate(
        """() => {
          const found = [];
          seasonMap.layers.map.eachLayer((layer) => {
            if (layer.options.className === 'circle-line') found.push(...layer.getLatLngs()[0].map(({ lat, lng }) => [lat, lng]));
          });
          return found;
        }"""
    )
    assert len(drawn) >= 90
    for latitude_deg, longitude_deg in drawn:
        way = Geodesic.WGS84.Inverse(46.1, -117.05, latitude_deg, longitude_deg)
        assert way["s12"] == pytest.approx(120_000, abs=0.01)
    _assert_ends_are_those_of_geographiclib(opened.page)


def _assert_ends_are_those_of_geographiclib(page: Page) -> None:
    rng = np.random.default_rng(8)
    asked = np.column_stack(
        [
            rng.uniform(-85, 85, 200),
            rng.uniform(-180, 180, 200),
            rng.uniform(0, 360, 200),
            10 ** rng.uniform(0, 6, 200),
        ]
    ).tolist()
    found = page.evaluate(
        """(asked) => asked.map(([latitude_deg, longitude_deg, bearing, metres]) => {
          const to = seasonMap.geodesicCircle.destination({ latitude_deg, longitude_deg }, bearing, metres);
          return [to.latitude_deg, to.longitude_deg];
        })""",
        asked,
    )
    for (latitude_deg, longitude_deg, bearing, metres), (lat, lon) in zip(asked, found, strict=True):
        expected = Geodesic.WGS84.Direct(latitude_deg, longitude_deg, bearing, metres)
        off = Geodesic.WGS84.Inverse(lat, lon, expected["lat2"], expected["lon2"])
        assert off["s12"] < 0.001


def test_a_circle_by_two_taps_tells_what_lies_in_it(open_map: Opener, season: SeasonResult) -> None:
    opened = open_map(season)
    page, tab = opened.page, opened.tab()
    frame = page.locator("#map_season")
    tab.get_by_role("button", name="Draw on the map").click()
    bar = page.get_by_role("group", name="Draw a circle")
    expect(bar).to_contain_text("Tap the centre")
    box = frame.bounding_box()
    assert box is not None
    centre, edge = (box["width"] / 2, box["height"] / 2), (box["width"] / 2 + 330, box["height"] / 2)
    page.mouse.click(box["x"] + centre[0], box["y"] + centre[1])
    expect(bar).to_contain_text("Now tap where the edge")
    page.mouse.move(box["x"] + edge[0] - 20, box["y"] + edge[1])
    page.mouse.click(box["x"] + edge[0], box["y"] + edge[1])
    expect(bar).to_be_hidden()
    points = page.evaluate(
        "points => points.map((point) => { const { lat, lng } = seasonMap.layers.map.containerPointToLatLng(point); return [lat, lng]; })",
        [centre, edge],
    )
    radius_m = Geodesic.WGS84.Inverse(*points[0], *points[1])["s12"]
    assert float(tab.locator("#circle-km").input_value()) == pytest.approx(radius_m / 1000, abs=0.002)
    _assert_contents(tab, season, points[0], radius_m)
    # After the first tap the radius may as well be typed.
    tab.get_by_role("button", name="Draw on the map").click()
    page.mouse.click(box["x"] + centre[0], box["y"] + centre[1])
    tab.locator("#circle-km").fill("16")
    tab.locator("#circle-km").press("Enter")
    expect(bar).to_be_hidden()
    _assert_contents(tab, season, points[0], 16_000)
    opened.assert_quiet()


def _assert_contents(
    tab: Locator, season: SeasonResult, centre: tuple[float, float], radius_m: float
) -> None:
    agent = season.season.agents[0]
    patches = season.sites[agent.host].patches
    share = _shares(patches, *centre, radius_m)
    inside = patches["site_id"][share > 0]
    ranked = sum(site in _ranked(season).index for site in inside)
    answer = tab.locator(".circle-answer")
    told = f"{(patches['infested_ha'] * share).sum():.1f}\u00a0ha infested, of {(patches['gross_ha'] * share).sum():,.1f}\u00a0ha gross"
    expect(answer.locator(".circle-figure")).to_contain_text(f"{agent.host}: {told}")
    expect(answer).to_contain_text(f"{len(inside)} sites: {ranked} ranked")
    expect(answer).to_contain_text(f"{len(inside) - ranked} left out")
    releases = season.evidence[agent.name].releases.to_crs("EPSG:4326")
    near = [
        Geodesic.WGS84.Inverse(*centre, point.y, point.x)["s12"] <= radius_m for point in releases.geometry
    ]
    assert any(near)
    expect(answer).to_contain_text(f"{sum(near)} release")
    for release_id, is_near in zip(releases["release_id"], near, strict=True):
        assert answer.get_by_text(f"{release_id}, 15 June 2020: ").count() == int(is_near)
    populations = season.evidence[agent.name].populations
    points = populations.geometry.representative_point().to_crs("EPSG:4326")
    living = [Geodesic.WGS84.Inverse(*centre, point.y, point.x)["s12"] <= radius_m for point in points]
    expect(answer).to_contain_text(
        f"{sum(living)} confirmed population" if any(living) else "No confirmed population"
    )


def test_a_circle_by_the_keyboard_alone(open_map: Opener, season: SeasonResult) -> None:
    opened = open_map(season)
    page, tab = opened.page, opened.tab()
    site = _ranked(season).iloc[0]
    tab.locator("#circle-centre").focus()
    page.keyboard.type(str(site.name))
    page.keyboard.press("Tab")
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type("18")
    page.keyboard.press("Enter")
    _assert_contents(tab, season, (site["latitude_deg"], site["longitude_deg"]), 18_000)
    tab.get_by_role("button", name="Draw on the map").focus()
    page.keyboard.press("Enter")
    page.locator("#map_season").focus()
    page.keyboard.press("Enter")
    for _ in range(2):
        page.keyboard.press("ArrowRight")
    page.wait_for_timeout(400)
    page.keyboard.press("Enter")
    expect(page.get_by_role("group", name="Draw a circle")).to_be_hidden()
    expect(tab.get_by_role("button", name="Draw on the map")).to_be_focused()
    assert float(tab.locator("#circle-km").input_value()) != 18
    tab.get_by_role("button", name="Take it away").focus()
    page.keyboard.press("Enter")
    expect(tab.locator(".circle-figure")).to_have_count(0)
    assert page.locator(".circle-line").count() == 0
    opened.assert_quiet()


def test_what_is_no_circle_is_told(open_map: Opener, season: SeasonResult) -> None:
    opened = open_map(season)
    tab = opened.tab()
    for centre, km, told in (
        ("", "5", "Centre"),
        ("nowhere", "5", "no site of this list"),
        ("91, 10", "5", "no site of this list"),
        ("46, -117", "0", "between 0.05 and 500 km"),
        ("46, -117", "", "between 0.05 and 500 km"),
        ("46, -117", "501", "between 0.05 and 500 km"),
        ("-89.5, 10", "60", "near to a pole"),
    ):
        tab.locator("#circle-centre").fill(centre)
        tab.locator("#circle-km").fill(km)
        tab.get_by_role("button", name="Draw circle").click()
        expect(tab.get_by_role("alert").filter(has_text=told)).to_be_visible()
        assert opened.page.locator(".circle-line").count() == 0


# ---- lines between sources and release sites


def _fed(season: SeasonResult, kind: str = "regional") -> SeasonResult:
    """Return the season with pairs, windows and a speed of travel."""
    agent = season.season.agents[0].name
    release, source = _ranked(season).index, _ranked(season, "source").index
    pairs = pd.DataFrame(
        [
            (site, one, 0.25 + 0.5 * number + 0.01 * row, number + 1, row + 1)
            for row, site in enumerate(release)
            for number, one in enumerate(source)
            if row != 1
        ],
        columns=["site_id", "source_site_id", "climate_gap", "source_order", "site_order"],
    )
    settings = season.season.settings
    scouting = settings.scouting.model_copy(update={"travel_km_per_hour": 20.0})
    dated = dataclasses.replace(season.season, settings=settings.model_copy(update={"scouting": scouting}))
    fed = dataclasses.replace(season, season=dated, possible_sources={agent: pairs})
    roles: dict[Role, tuple[str, str]] = {
        "release": ("2026-06-10", "2026-07-01"),
        "source": ("2026-06-20", "2026-07-20"),
    }
    for role, (opens, closes) in roles.items():
        table = season.ranking(agent, role).table.assign(window_opens=opens, window_closes=closes)
        table.loc[table["site_id"] == source[-1], "window_opens"] = "2026-07-02"
        fed = _changed(fed, role, table=table.assign(climate_gap_kind=kind, window_kind="dates"))
    return fed


def _km(season: SeasonResult, one: str, other: str) -> float:
    places = season.sites[season.season.agents[0].host].patches.set_index("site_id")
    ends = places.loc[[one, other], ["latitude_deg", "longitude_deg"]].to_numpy()
    return float(Geodesic.WGS84.Inverse(*ends[0], *ends[1])["s12"]) / 1000


def test_a_release_site_has_lines_to_its_sources_with_gap_way_and_windows(
    open_map: Opener, season: SeasonResult
) -> None:
    fed = _fed(season)
    site, sources = _ranked(season).index[0], list(_ranked(season, "source").index)
    opened = open_map(fed)
    page = opened.page
    opened.choose(site)
    items = page.locator("#card .feeding-list li")
    assert [one.get_attribute("data-other") for one in items.all()] == sources[:6]
    for number, source in enumerate(sources[:6]):
        text = (items.nth(number).text_content() or "").replace("\u00a0", " ")
        assert f"climate gap {0.25 + 0.5 * number:.2f} (regional distance)" in text
        km = _km(season, site, source)
        told = re.search(r"([\d.]+) (k?m) · ([\d.]+) (h|min) one way", text)
        assert told is not None
        assert float(told[1]) / (1 if told[2] == "km" else 1000) == pytest.approx(km, rel=0.001)
        # Minutes below an hour, at 20 km an hour.
        assert told[4] == ("h" if km / 20 >= 59.5 / 60 else "min")
        expected, off = (km / 20, 0.06) if told[4] == "h" else (3 * km, 0.51)
        assert float(told[3]) == pytest.approx(expected, abs=off)
        meets = "windows do not meet" if source == sources[-1] else "windows meet 20 June to 1 July"
        assert meets in text
    assert page.locator("path.feeding-line:not(.is-under)").count() == len(sources[:6])
    # The ends of the lines stand at the sources.
    ends = page.evaluate(
        """() => { const found = []; seasonMap.layers.map.eachLayer((layer) => {
          if (layer.options.className === 'feeding-line') found.push(layer.getLatLngs().map(({ lat, lng }) => [lat, lng])); }); return found; }"""
    )
    places = season.sites[season.season.agents[0].host].patches.set_index("site_id")
    for line, source in zip(ends, sources, strict=False):
        assert line[1] == pytest.approx(places.loc[source, ["latitude_deg", "longitude_deg"]].tolist())
    opened.tab().locator("#feeding-on").uncheck()
    assert page.locator(".feeding-line, .feeding-mark, .feeding-end").count() == 0
    opened.tab().locator("#feeding-on").check()
    table = _table(season)
    opened.choose(table.index[table["status"] == "left out"][0])
    assert page.locator("#card .feeding-list, .feeding-line").count() == 0
    opened.choose(site)
    items.first.get_by_role("button").click()
    expect(page.locator("#card .kicker")).to_contain_text("Collection source")
    assert page.evaluate("seasonMap.state.siteId") == sources[0]
    opened.assert_quiet()


def test_a_source_has_lines_to_the_sites_it_could_feed_nearest_climate_first(
    open_map: Opener, season: SeasonResult
) -> None:
    fed = _fed(season, "interannual")
    release = [site for row, site in enumerate(_ranked(season).index) if row != 1]
    opened = open_map(fed)
    opened.choose(_ranked(season, "source").index[0], "source")
    items = opened.page.locator("#card .feeding-list li")
    assert [one.get_attribute("data-other") for one in items.all()] == release[:12]
    expect(items.first).to_contain_text("climate gap 0.25 sigma")
    expect(opened.page.locator("#card")).to_contain_text("Could feed")
    assert opened.page.locator(".feeding-label:not([hidden])").count() > 0


def test_where_no_climate_gap_is_known_the_nearest_on_the_ground_come_first(
    open_map: Opener, season: SeasonResult
) -> None:
    site, sources = _ranked(season).index[1], list(_ranked(season, "source").index)
    nearest = sorted((one for one in sources if one != site), key=lambda one: _km(season, site, one))
    table = season.ranking(season.season.agents[0].name, "release").table
    undated = _changed(season, "release", table=table.assign(window_opens="", window_closes=""))
    # In the first season this one site has no pairs, in the second none has.
    for changed in (_fed(season), undated):
        opened = open_map(changed)
        opened.choose(site)
        items = opened.page.locator("#card .feeding-list li")
        assert [one.get_attribute("data-other") for one in items.all()] == nearest[:6]
        expect(opened.page.locator("#card")).to_contain_text("No climate gap is known here")
        assert "climate gap" not in (items.first.text_content() or "")
    expect(items.first).to_contain_text("not known whether windows meet")
    expect(opened.page.locator("#card")).to_contain_text("states no speed of travel")
    assert "one way" not in (items.first.text_content() or "")


# ---- for everybody


@pytest.mark.slow
@pytest.mark.parametrize(("phone", "scheme"), [(False, "light"), (True, "dark")])
def test_the_tab_is_fit_for_fingers_readers_and_small_screens(
    open_map: Opener, season: SeasonResult, phone: bool, scheme: str
) -> None:
    opened = open_map(_fed(season), phone=phone, color_scheme=scheme)
    page = opened.page
    ranked = _ranked(season).index
    opened.compare(ranked[0], ranked[1])
    opened.choose(ranked[0])
    tab = opened.tab()
    tab.get_by_role("button", name="Around the chosen site").click()
    assert page.evaluate("document.documentElement.scrollWidth") == (375 if phone else 1280)
    if not phone:
        assert page.evaluate("document.documentElement.scrollHeight") == 800
    small = page.evaluate(
        """() => {
          const here = [...document.querySelectorAll('#panel-whatIf *, .feeding-label *, #card .feeding-list *')].filter((node) => node.checkVisibility());
          const isSmall = (node) => node.getBoundingClientRect().height < 43.5;
          return [
            here.filter((node) => node.matches('button, select, input:not([type=checkbox]), label.check') && isSmall(node)).map((node) => node.outerHTML.slice(0, 90)),
            here.filter((node) => parseFloat(getComputedStyle(node).fontSize) < 12).map((node) => node.outerHTML.slice(0, 90)),
          ];
        }"""
    )
    assert small == [[], []]
    found = Axe().run(page, options=RULES).response["violations"]
    assert [(one["id"], one["nodes"][0]["html"][:200]) for one in found] == []
    opened.assert_quiet()


@pytest.mark.parametrize("phone", [False, True])
def test_compared_sites_have_their_letters_on_the_map(
    open_map: Opener, season: SeasonResult, phone: bool
) -> None:
    opened = open_map(_fed(season), phone=phone)
    page, ranked = opened.page, _ranked(season).index
    page.evaluate("seasonMap.layers.map.setView([47, -116], 12, { animate: false })")
    opened.compare(ranked[0], ranked[1])
    letters = page.evaluate(
        """() => {
          const frame = seasonMap.layers.map.getContainer().getBoundingClientRect();
          return [...document.querySelectorAll('.compare-mark span')].map((span) => {
            const box = span.getBoundingClientRect();
            const isInside = box.left >= frame.left && box.right <= frame.right && box.top >= frame.top && box.bottom <= frame.bottom;
            return [span.textContent, box.left - frame.left, box.top - frame.top, isInside];
          });
        }"""
    )
    assert [text for text, *_ in letters] == ["A", "B"]
    for (_, left, top, is_inside), site_id in zip(letters, ranked[:2], strict=True):
        east, south = page.evaluate(
            """(siteId) => {
              const site = seasonMap.data.ranking(0, 'release').site(siteId);
              const { x, y } = seasonMap.layers.map.latLngToContainerPoint([site.latitude_deg, site.longitude_deg]);
              return [x, y];
            }""",
            site_id,
        )
        assert is_inside
        assert (left - east, top - south) == pytest.approx((8, 2), abs=1.5)
    field = opened.tab().locator("#compare-site-1")
    field.fill("")
    field.dispatch_event("change")
    assert page.locator(".compare-mark").count() == 0
    opened.assert_quiet()


def test_hostile_names_are_text_wherever_they_are_told(
    open_map: Opener, make_season: Callable[..., SeasonResult]
) -> None:
    evil = make_season(12, relief_px=0, text=lambda plain: f"{HOSTILE} {plain}")
    opened = open_map(_fed(evil), phone=True)
    page = opened.page
    before = page.evaluate("document.querySelectorAll('script, img').length")
    ranked = _ranked(evil).index
    sentence = opened.compare(ranked[0], ranked[1])
    assert sentence.startswith("</script><img src=x onerror=window.bad=1>{{7*7}}`${window.bad=1}`")
    opened.choose(ranked[0])
    page.locator("#card").get_by_role("button", name="Compare with").click()
    opened.choose(ranked[1])
    tab = opened.tab()
    opened.choose(ranked[1])
    tab.locator("#circle-km").fill("30")
    tab.get_by_role("button", name="Around the chosen site").click()
    expect(tab.locator(".circle-figure")).to_contain_text("{{7*7}}")
    opened.choose(_ranked(evil, "source").index[0], "source")
    assert page.evaluate("[window.bad, document.querySelectorAll('script, img').length]") == [None, before]
    assert page.evaluate("document.documentElement.scrollWidth") == 375
    opened.assert_quiet()


def test_a_public_copy_has_lines_and_says_where_records_stand(open_map: Opener, season: SeasonResult) -> None:
    opened = open_map(_fed(season), "public")
    site = _ranked(season).index[0]
    opened.choose(site)
    assert opened.page.locator("#card .feeding-list li").count() > 0
    tab = opened.tab()
    tab.get_by_role("button", name="Around the chosen site").click()
    expect(tab.locator(".circle-answer")).to_contain_text("releases and populations stand at their patches")


@pytest.mark.slow
def test_a_large_season_has_the_same(open_map: Opener, make_season: Callable[..., SeasonResult]) -> None:
    large = make_season(1_100, relief_px=0)
    fed = _fed(large)
    pairs = fed.possible_sources[large.season.agents[0].name]
    kept = pairs[(pairs["source_order"] <= 6) | (pairs["site_order"] <= 12)]
    kept = kept.assign(
        source_order=kept["source_order"].where(kept["source_order"] <= 6).astype("Int64"),
        site_order=kept["site_order"].where(kept["site_order"] <= 12).astype("Int64"),
    )
    opened = open_map(dataclasses.replace(fed, possible_sources={large.season.agents[0].name: kept}))
    page = opened.page
    assert page.evaluate("seasonMap.data.season.is_large")
    for row in (0, 5, -1):
        opened.choose(_ranked(large).index[row])
        assert page.locator("#card .feeding-list li").count() == 6
    opened.choose(_ranked(large, "source").index[0], "source")
    assert page.locator("#card .feeding-list li").count() == 11  # of twelve, and one has no pairs
    patches = large.sites[large.season.agents[0].host].patches
    share = _shares(patches, 46.0, -117.0, 9_000)
    took_ms, infested_ha = page.evaluate(
        """() => { const start = performance.now();
          const { infested_ha } = seasonMap.circleContents({ latitude_deg: 46, longitude_deg: -117 }, 9000);
          return [performance.now() - start, infested_ha]; }"""
    )
    assert infested_ha == pytest.approx(float((patches["infested_ha"] * share).sum()), rel=0.005)
    assert took_ms < 2_000
    opened.assert_quiet()
