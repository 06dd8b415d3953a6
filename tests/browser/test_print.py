"""The map on one page of paper, printed by Chromium and read back by programs that know nothing of it."""

import io
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from numpy.typing import NDArray
from PIL import Image
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader
from pyproj import Geod, Transformer

from geo_scout.model.cautions import BEFORE_YOU_GO
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.map import write_map
from geo_scout.outputs.map.audience import NOTES
from geo_scout.outputs.map.static_files import read_static
from geo_scout.outputs.tables import build_tables
from tests.benchmarks.large_map_season import large_season

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SIZES = {"wide": (1280, 800), "narrow": (375, 740)}
PAPERS_MM = {"A4": (210, 297), "Letter": (215.9, 279.4)}
MARGIN_MM = 10
PX_PER_MM = 96 / 25.4
DOTS_PER_PX = 2  # of the pages made into pictures
MOST_BYTES = 4_000_000
PATCHES = 40
RAMP = ("f8ecb0", "98cbab", "4aa9b3", "2a74a8", "1c2f7a")  # for scores from 0 to 1, as in the legend
HOSTILE = "<img src=x onerror=window.bad=1>{{ 7*7 }} " + "und noch mehr davon " * 100 + "M" * 2000
WINDOWS = {"window_kind": "degree-days", "window_opens": "2026-06-06", "window_closes": "2026-08-05"}

Pixels = NDArray[np.int64]


@dataclass
class Paper:
    """A page of the browser, and what it prints."""

    page: Page
    said: list[str] = field(default_factory=list)

    def pdf(self, paper: str = "A4") -> bytes:
        return self.page.pdf(format=paper)

    def text(self, paper: str = "A4") -> str:
        return _text(self.pdf(paper))

    def lay(self, paper: str = "A4") -> None:
        """Leave the sheet on the screen as the printer would have it, its margins cut off."""
        self.page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
        self.page.emulate_media(media="print")
        width, height = (round((side - 2 * MARGIN_MM) * PX_PER_MM) for side in PAPERS_MM[paper])
        self.page.set_viewport_size({"width": width, "height": height})

    def boxes(self, selector: str) -> list[dict[str, float]]:
        """Return where elements of the laid sheet lie on the paper, from its corner [CSS px]."""
        edge = MARGIN_MM * PX_PER_MM
        found = self.page.eval_on_selector_all(
            selector, "nodes => nodes.map((node) => node.getBoundingClientRect().toJSON())"
        )
        sides = ("left", "top", "right", "bottom")
        return [{side: box[side] + edge for side in sides} for box in found if box["height"] > 0]


Opener = Callable[..., Paper]


@pytest.fixture(scope="module")
def map_of(tmp_path_factory: pytest.TempPathFactory) -> Callable[[SeasonResult, Audience], Path]:
    """Each map is written once, however many tests open it."""
    folder = tmp_path_factory.mktemp("maps")
    written: list[tuple[SeasonResult, Audience, Path]] = []

    def path_of(season: SeasonResult, audience: Audience) -> Path:
        for known, reader, path in written:
            if known is season and reader == audience:
                return path
        path = folder / f"{len(written)}.html"
        write_map(path, season, build_tables(season, audience), audience)
        written.append((season, audience, path))
        return path

    return path_of


@pytest.fixture
def opened(browser: Browser, map_of: Callable[[SeasonResult, Audience], Path]) -> Iterator[Opener]:
    contexts = []
    papers: list[Paper] = []

    def open_map(season: SeasonResult, size: str = "wide", audience: Audience = "crew") -> Paper:
        width, height = SIZES[size]
        is_phone = size == "narrow"
        context = browser.new_context(
            offline=True, viewport={"width": width, "height": height}, is_mobile=is_phone, has_touch=is_phone
        )
        contexts.append(context)
        paper = Paper(context.new_page())
        papers.append(paper)
        paper.page.on("console", lambda message: paper.said.append(message.text))
        paper.page.on("pageerror", lambda error: paper.said.append(str(error)))
        paper.page.goto(map_of(season, audience).as_uri())
        expect(paper.page.locator("html")).to_have_attribute("data-ready", "yes")
        return paper

    yield open_map
    for paper in papers:
        assert paper.said == []
    for context in contexts:
        context.close()


@pytest.fixture(scope="module")
def full(make_season: Callable[..., SeasonResult]) -> SeasonResult:
    """More sites than a page has rows for, with windows."""
    return _with_windows(make_season(PATCHES))


@pytest.fixture(scope="module")
def bare(make_season: Callable[..., SeasonResult]) -> SeasonResult:
    """Without relief, so that every line lies on white."""
    return make_season(12, relief_px=0)


def _with_windows(season: SeasonResult) -> SeasonResult:
    rankings = tuple(replace(one, table=one.table.assign(**WINDOWS)) for one in season.rankings)
    return replace(season, rankings=rankings)


def _text(pdf: bytes) -> str:
    [page] = PdfReader(io.BytesIO(pdf)).pages
    return re.sub(r"\s+", " ", page.extract_text())


def _picture(pdf: bytes, tmp_path: Path) -> Pixels:
    program = shutil.which("pdftoppm")
    assert program is not None, "pdftoppm (of poppler-utils) makes pictures of the pages"
    (tmp_path / "page.pdf").write_bytes(pdf)
    target = tmp_path / "page"
    resolution = str(96 * DOTS_PER_PX)
    subprocess.run(
        [program, "-r", resolution, "-singlefile", "-png", target.with_suffix(".pdf"), target], check=True
    )
    return np.asarray(Image.open(target.with_suffix(".png")).convert("RGB")).astype(np.int64)


def _screen(page: Page) -> Pixels:
    return np.asarray(Image.open(io.BytesIO(page.screenshot())).convert("RGB")).astype(np.int64)


def _ranked(season: SeasonResult, number: int = 0) -> pd.DataFrame:
    ranking = season.rankings[number]
    table = build_tables(season, "crew")[ranking.role]
    return table[(table["agent"] == ranking.agent) & (table["status"] == "ranked")].sort_values("rank")


def _cut(picture: Pixels, box: dict[str, float]) -> Pixels:
    left, top, right, bottom = (round(box[side] * DOTS_PER_PX) for side in ("left", "top", "right", "bottom"))
    return picture[top:bottom, left:right]


def _colour(score: float) -> Pixels:
    hexadecimal = RAMP[min(4, int(score * 5))]
    return np.array([int(hexadecimal[at : at + 2], 16) for at in (0, 2, 4)], dtype=np.int64)


def _share_of(picture: Pixels, colour: Pixels) -> float:
    return float((np.abs(picture - colour).max(axis=2) <= 12).mean())


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("paper", PAPERS_MM)
def test_one_page_says_it_all(opened: Opener, full: SeasonResult, size: str, paper: str) -> None:
    sheet = opened(full, size)
    sheet.page.evaluate("window.scrollTo(0, 0)")
    as_seen = _screen(sheet.page)
    before = sheet.page.content(), sheet.page.evaluate(VIEW)
    pdf = sheet.pdf(paper)
    assert (sheet.page.content(), sheet.page.evaluate(VIEW)) == before
    # Chromium draws rounded borders anew, a shade lighter or darker.
    assert np.abs(_screen(sheet.page) - as_seen).max() <= 8
    assert len(pdf) < MOST_BYTES
    [page] = PdfReader(io.BytesIO(pdf)).pages
    wanted_mm = PAPERS_MM[paper]
    assert [float(side) / 72 * 25.4 for side in page.mediabox[2:]] == pytest.approx(wanted_mm, abs=0.5)
    text = _text(pdf)
    ranked = _ranked(full)
    for _, site in ranked.head(5).iterrows():
        row = (
            f"{site['rank']} {site['name']} {site['site_id']} {site['permission']} {site['score']:.3f} "
            f"{site['latitude_deg']:.6f}, {site['longitude_deg']:.6f} 6 June to 5 August"
        )
        assert row in text
    told = sum(site_id in text for site_id in ranked["site_id"])
    assert 8 <= told < len(ranked)
    agent = full.season.agents[0]
    for line in (
        "Pell Basin, summer 2026",
        "As of 1 March 2026",
        "Crew copy",
        "Field work 18 May 2026 to 14 August 2026",
        f"Release sites for {agent.name}, on {agent.host}",
        NOTES["crew"],
        BEFORE_YOU_GO,
        "Scores and ranks are by the plan’s weights.",
        full.questions[0].text(),
        f"and {len(ranked) - told} more in release_sites.csv",
        "Can receive in 2026",
        "Fenner depot",
        "Lower Pell",
        "Release site, its rank",
        "Left out",
        "District edge",
    ):
        assert line in text


VIEW = """() => {
  const { map } = seasonMap.layers;
  return [map.getCenter().lat, map.getCenter().lng, map.getZoom(), window.scrollY, document.querySelectorAll('.paper').length];
}"""


@pytest.mark.parametrize("paper", PAPERS_MM)
def test_nothing_is_cut_off_or_covers_another(opened: Opener, full: SeasonResult, paper: str) -> None:
    sheet = opened(full)
    sheet.lay(paper)
    page = sheet.page
    width_mm, height_mm = PAPERS_MM[paper]
    [whole] = sheet.boxes(".paper")
    for box in sheet.boxes(
        ".paper > *, .paper-side > *, .paper-legend > div, .paper td > span, .paper footer p"
    ):
        assert box["left"] >= whole["left"] - 0.5
        assert box["right"] <= whole["right"] + 0.5 <= (width_mm - MARGIN_MM) * PX_PER_MM + 2
        assert box["bottom"] <= whole["bottom"] + 0.5 <= (height_mm - MARGIN_MM) * PX_PER_MM + 2
    for selector in (".paper > *", ".paper-side > *", ".paper-legend > div", ".paper tbody tr"):
        for above, below in pairwise(sheet.boxes(selector)):
            assert above["bottom"] <= below["top"] + 0.5
    assert page.locator(".paper td > span").evaluate_all(OVERFLOWING) == []
    [frame], [side] = sheet.boxes(".paper-frame"), sheet.boxes(".paper-side")
    assert frame["right"] <= side["left"]
    badges = sheet.boxes(".paper-picture .badge-shape")
    assert len(badges) == page.locator(".paper tbody tr").count()
    for badge in badges:
        assert frame["left"] <= badge["left"] <= badge["right"] <= frame["right"]
        assert frame["top"] <= badge["top"] <= badge["bottom"] <= frame["bottom"]


OVERFLOWING = """nodes => nodes.filter((node) => node.scrollHeight > node.clientHeight + 1 || node.scrollWidth > node.clientWidth + 1)
  .map((node) => node.textContent)"""


def test_everything_lies_where_web_mercator_puts_it(opened: Opener, full: SeasonResult) -> None:
    sheet = opened(full)
    sheet.lay()
    feet = sheet.page.eval_on_selector_all(
        ".foot",
        "nodes => nodes.map((node) => [node.dataset.foot, Number(node.getAttribute('cx')), Number(node.getAttribute('cy'))])",
    )
    table = _ranked(full).set_index("site_id")
    to_mercator = Transformer.from_crs("EPSG:4326", "EPSG:3857", always_xy=True)
    sites = table.loc[[site_id for site_id, _, _ in feet]]
    east, north = to_mercator.transform(sites["longitude_deg"].to_numpy(), sites["latitude_deg"].to_numpy())
    x, y = (np.array([foot[at] for foot in feet]) for at in (1, 2))
    per_metre, from_x = np.polyfit(east, x, 1)
    down, from_y = np.polyfit(north, y, 1)
    assert down == pytest.approx(-per_metre, rel=1e-4)
    assert np.abs(per_metre * east + from_x - x).max() < 0.02
    assert np.abs(down * north + from_y - y).max() < 0.02
    degrees = sheet.page.eval_on_selector_all(
        ".paper-longitudes text",
        "nodes => nodes.map((node) => [node.textContent, Number(node.getAttribute('x'))])",
    )
    assert len(degrees) >= 2
    for text, tick in degrees:
        figure, side = text.replace("\u00a0", " ").split("° ")
        longitude = float(figure) * (-1 if side == "W" else 1)
        assert tick == pytest.approx(per_metre * to_mercator.transform(longitude, 46)[0] + from_x, abs=0.05)
    # The bars are true on the ground along the row in the middle of the map.
    back = Transformer.from_crs("EPSG:3857", "EPSG:4326", always_xy=True)
    height = float(sheet.page.locator(".paper-picture svg").first.get_attribute("height") or 0)
    middle_north = (height / 2 - from_y) / down
    bars = sheet.page.eval_on_selector_all(
        ".scale-bar",
        "nodes => nodes.map((node) => [Number(node.dataset.lengthM), Number(node.dataset.widthPx), node.textContent])",
    )
    assert [text.split("\u00a0")[1] for _, _, text in bars] == ["km", "mi"]
    for (length_m, width_px, text), unit_m in zip(bars, (1000, 1609.344), strict=True):
        assert float(text.split("\u00a0")[0]) * unit_m == pytest.approx(length_m)
        (west, south), (far_east, far_north) = (
            back.transform(float(east.mean()) + sign * width_px / per_metre / 2, middle_north)
            for sign in (-1, 1)
        )
        _, _, distance_m = Geod(ellps="WGS84").inv(west, south, far_east, far_north)
        assert distance_m == pytest.approx(length_m, rel=1e-3)


@pytest.mark.parametrize("paper", PAPERS_MM)
def test_the_printed_picture_shows_the_sites_in_their_colours(
    opened: Opener, bare: SeasonResult, paper: str, tmp_path: Path
) -> None:
    sheet = opened(bare)
    picture = _picture(sheet.pdf(paper), tmp_path)
    sheet.lay(paper)
    [frame] = sheet.boxes(".paper-frame")
    inside = _cut(picture, frame)
    assert 0.005 < float((inside.min(axis=2) < 200).mean()) < 0.5
    ranked = _ranked(bare).set_index("site_id")
    order = sheet.page.eval_on_selector_all(".foot", "nodes => nodes.map((node) => node.dataset.foot)")
    feet, badges = sheet.boxes(".foot"), sheet.boxes(".paper-picture .badge-shape")[::-1]
    assert len(feet) == len(badges) == len(ranked)
    for site_id, foot, badge in zip(order, feet, badges, strict=True):
        colour = _colour(ranked.loc[site_id, "score"])
        assert _share_of(_cut(picture, badge), colour) > 0.4
        # The patch is painted on the canvas, its foot is drawn over it: they must meet.
        near = {side: at + (-4 if side in ("left", "top") else 4) for side, at in foot.items()}
        assert _share_of(_cut(picture, near), colour) > 0.005


def test_relief_and_contours_are_printed_where_they_are_shown(
    opened: Opener, full: SeasonResult, tmp_path: Path
) -> None:
    sheet = opened(full)
    contours = sheet.page.evaluate("seasonMap.contours.name").replace("\u00a0", " ")
    assert contours not in sheet.text()
    sheet.page.evaluate("seasonMap.layers.map.addLayer(seasonMap.contours.layer)")
    pdf = sheet.pdf()
    assert contours in _text(pdf)
    picture = _picture(pdf, tmp_path)
    sheet.lay()
    [frame] = sheet.boxes(".paper-frame")
    white = float((_cut(picture, frame).min(axis=2) == 255).mean())
    assert white < 0.3


@pytest.mark.parametrize("paper", PAPERS_MM)
def test_the_grid_meets_its_ticks(opened: Opener, bare: SeasonResult, paper: str, tmp_path: Path) -> None:
    sheet = opened(bare)
    picture = _picture(sheet.pdf(paper), tmp_path).min(axis=2)
    sheet.lay(paper)
    [frame] = sheet.boxes(".paper-frame")
    ticks = sheet.boxes(".paper-longitudes .tick")
    assert len(ticks) >= 2
    top, bottom = (round(frame[side] * DOTS_PER_PX) for side in ("top", "bottom"))
    for tick in ticks:
        at = round((tick["left"] + tick["right"]) / 2 * DOTS_PER_PX)
        # A line from top to bottom is the darkest column for most rows, whatever crosses it.
        columns = np.median(picture[top + 4 : bottom - 4, at - 12 : at + 13], axis=0)
        assert columns.min() < 245
        assert abs(int(columns.argmin()) - 12) <= DOTS_PER_PX


def test_a_dark_screen_prints_as_a_light_one(opened: Opener, bare: SeasonResult, tmp_path: Path) -> None:
    sheet = opened(bare)
    light = _picture(sheet.pdf(), tmp_path)
    sheet.page.locator("#theme").click()
    expect(sheet.page.locator("html")).to_have_attribute("data-theme", "dark")
    dark = _picture(sheet.pdf(), tmp_path)
    assert np.array_equal(light, dark)
    assert light.mean() > 200


def test_the_light_colours_of_paper_are_those_of_the_page() -> None:
    page, paper = (
        dict(re.findall(r"(--[\w-]+): (#\w+);", read_static(name))) for name in ("page.css", "print.css")
    )
    assert paper.items() <= page.items()
    used = set(re.findall(r"var\((--[\w-]+)\)", read_static("print.css")))
    assert used <= paper.keys()


def test_the_button_prints(opened: Opener, bare: SeasonResult) -> None:
    sheet = opened(bare)
    sheet.page.evaluate("window.print = () => { window.wasAsked = true; }")
    sheet.page.get_by_role("button", name="Print", exact=True).click()
    assert sheet.page.evaluate("window.wasAsked")


def test_weights_in_hand_are_said_and_used(opened: Opener, full: SeasonResult) -> None:
    sheet = opened(full)
    sheet.page.evaluate(
        "seasonMap.weights.set('release', seasonMap.weights.plan('release').map((weight, at) => Number(at === 1)))"
    )
    text = sheet.text()
    assert "Weights changed in hand: this is not the plan’s ranking" in text
    assert "by the plan’s weights" not in text
    rows = sheet.page.eval_on_selector_all(".site-row", "rows => rows.map((row) => row.dataset.site)")
    at = [text.index(site_id) for site_id in rows[:5]]
    assert at == sorted(at)
    assert rows[:5] != _ranked(full)["site_id"].head(5).to_list()


def test_the_filters_and_their_words_are_printed(opened: Opener, full: SeasonResult) -> None:
    sheet = opened(full)
    ranked = _ranked(full)
    name = ranked["name"].iloc[0].split()[0]
    sheet.page.locator("#search").fill(name)
    text = sheet.text()
    searched = ("name", "site_id", "manager")
    here = np.logical_or.reduce([ranked[column].astype(str).str.contains(name) for column in searched])
    assert all(site_id in text for site_id in ranked.loc[here, "site_id"])
    assert not any(site_id in text for site_id in ranked.loc[~here, "site_id"])
    assert f"Find a site: {name}" in text
    assert f"{here.sum()} of {len(ranked)} ranked sites" in text


def test_the_chosen_site_stands_out(opened: Opener, full: SeasonResult) -> None:
    sheet = opened(full)
    best = _ranked(full).iloc[0]
    sheet.page.evaluate("(siteId) => seasonMap.state.choose(siteId, 'list')", best["site_id"])
    text = sheet.text()
    assert "Chosen site" in text
    assert "Outside this map: ranks" in text
    left_out = sheet.page.evaluate("seasonMap.filters.shownIn('leftOut').map((site) => site.site_id)")[0]
    sheet.page.evaluate("(siteId) => seasonMap.state.choose(siteId, 'list')", left_out)
    assert re.search(
        rf"Chosen site: [^.]*{left_out}, 4[56]\.\d{{6}}, -11[67]\.\d{{6}}\. Left out\. \w", sheet.text()
    )


def test_sources_and_another_agent(opened: Opener, full: SeasonResult) -> None:
    sheet = opened(full)
    sheet.page.evaluate("seasonMap.state.show(1, 'source')")
    text = sheet.text()
    assert f"Collection sources for {full.season.agents[1].name}" in text
    for _, site in _ranked(full, 3).head(5).iterrows():
        assert site["site_id"] in text


def test_a_public_copy_names_no_managers(opened: Opener, full: SeasonResult) -> None:
    text = opened(full, audience="public").text()
    assert "Public copy" in text
    assert NOTES["public"] in text
    assert "Permission" not in text
    assert "Fenner depot" not in text


@pytest.mark.parametrize("paper", PAPERS_MM)
def test_texts_of_any_length_leave_one_whole_page(
    opened: Opener, make_season: Callable[..., SeasonResult], paper: str
) -> None:
    season = make_season(12, text=lambda plain: plain + HOSTILE, questions=6)
    sheet = opened(season)
    text = sheet.text(paper)
    assert "onerror=window.bad=1" in text
    assert sheet.page.evaluate("window.bad") is None
    assert "2 more open questions" in text
    assert BEFORE_YOU_GO in text
    assert NOTES["crew"] in text
    for site_id in _ranked(season)["site_id"].head(5):
        assert site_id in text
    sheet.page.evaluate(EVERY_LAYER)
    sheet.lay(paper)
    [side], [below] = sheet.boxes(".paper-side"), sheet.boxes(".paper-list")
    assert (
        max(box["bottom"] for box in sheet.boxes(".paper-side *"))
        <= side["bottom"] + 0.5
        <= below["top"] + 0.5
    )


EVERY_LAYER = """() => {
  const { layers, data } = seasonMap;
  for (const id of data.season.base_layers) if (layers.base(id)) layers.map.addLayer(layers.base(id));
  for (const group of Object.values(layers.groups)) layers.map.addLayer(group);
}"""


def test_a_large_season_prints(
    opened: Opener, make_season: Callable[..., SeasonResult], tmp_path: Path
) -> None:
    season = large_season(make_season(6, relief_px=0), 1500)
    sheet = opened(season)
    pdf = sheet.pdf()
    assert len(pdf) < MOST_BYTES
    assert _ranked(season)["site_id"].iloc[0] in _text(pdf)
    picture = _picture(pdf, tmp_path)
    sheet.lay()
    [frame] = sheet.boxes(".paper-frame")
    inked = _cut(picture, frame).min(axis=2) < 200
    assert float(inked.mean()) > 0.02
