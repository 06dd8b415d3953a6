"""What the sample's page tells before anybody presses anything, and which names tell sites apart."""

from collections.abc import Iterator
from pathlib import Path

import pandas as pd
import pytest
from playwright.sync_api import Browser, Page, expect

from geo_scout.pipeline.season_run import run

pytestmark = [pytest.mark.browser, pytest.mark.slow]

SAMPLE = Path(__file__).parents[2] / "sample_layers" / "season.toml"
WEEVIL, BEETLE = "ashthorn stem weevil", "brindlebell leaf beetle"
NAMES = """() => [...document.querySelectorAll('.place-name span, .crew-name span, .district-name span')]
    .filter((span) => span.checkVisibility()).map((span) => [span.textContent, span.getBoundingClientRect()])
    .map(([text, box]) => [text, box.left, box.top, box.right, box.bottom])"""


@pytest.fixture(scope="module")
def outputs(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("sample") / "outputs"
    run(SAMPLE, outputs=folder)
    return folder


@pytest.fixture(scope="module")
def release_sites(outputs: Path) -> pd.DataFrame:
    table = pd.read_csv(outputs / "release_sites.csv", keep_default_na=False)
    return table[table["agent"] == WEEVIL]


def _opened(browser: Browser, outputs: Path, width: int, height: int) -> Iterator[Page]:
    context = browser.new_context(offline=True, viewport={"width": width, "height": height})
    page, said = context.new_page(), []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("console", lambda message: said.append(message.text))
    page.goto((outputs / "map.html").as_uri())
    yield page
    context.close()
    assert said == []


@pytest.fixture
def page(browser: Browser, outputs: Path) -> Iterator[Page]:
    yield from _opened(browser, outputs, 1280, 800)


@pytest.fixture(params=[(1280, 800), (375, 740), (320, 640)], ids=["wide", "phone", "small"])
def any_page(browser: Browser, outputs: Path, request: pytest.FixtureRequest) -> Iterator[Page]:
    yield from _opened(browser, outputs, *request.param)


def test_the_lead_tells_how_close_the_next_one_comes(page: Page, release_sites: pd.DataFrame) -> None:
    first, second = (release_sites[release_sites["rank"] == str(rank)].iloc[0] for rank in (1, 2))
    by = float(first["score"]) - float(second["score"])
    lead = page.locator(".lead")
    expect(lead).to_contain_text(first["name"])
    expect(lead).to_contain_text(f"is {by:.3f} behind")
    expect(lead).to_contain_text(second["name"])
    expect(lead).to_contain_text("its largest parts are")
    expect(lead).to_contain_text(f"ranks {first['rank_low']} to {first['rank_high']} in 9 of 10 draws")


def test_the_lead_tells_a_climate_outside_the_known(page: Page, release_sites: pd.DataFrame) -> None:
    first = release_sites[release_sites["rank"] == "1"].iloc[0]
    assert "outside" in first["novelty_note"]
    expect(page.locator(".lead")).to_contain_text(first["novelty_note"])


def test_the_lead_says_when_the_filters_hide_its_site(page: Page) -> None:
    hidden = page.locator(".lead").get_by_text("The filters hide it.")
    expect(hidden).to_have_count(0)
    page.get_by_label("Find a site").fill("no such place")
    expect(hidden).to_have_count(1)


def test_questions_stand_open_where_the_list_is_of_their_agent(page: Page) -> None:
    questions = page.locator("#questions")
    expect(questions.locator("summary")).to_have_text(f"STOP AND ASK: one open question about {BEETLE}")
    expect(questions.locator("li")).to_be_hidden()
    page.locator("#agent").select_option(label=f"{BEETLE}, on brindlebell")
    expect(questions.locator("li")).to_be_visible()
    page.locator("#agent").select_option(label=f"{WEEVIL}, on ashthorn")
    expect(questions.locator("li")).to_be_hidden()


def test_no_name_is_cut_by_the_edge(any_page: Page) -> None:
    frame = any_page.locator("#map_season").bounding_box()
    assert frame is not None
    named = any_page.evaluate(NAMES)
    assert len(named) >= 3
    for text, left, top, right, bottom in named:
        is_outside = right < frame["x"] or left > frame["x"] + frame["width"]
        is_outside |= bottom < frame["y"] or top > frame["y"] + frame["height"]
        is_whole = left >= frame["x"] - 1 and right <= frame["x"] + frame["width"] + 1
        is_whole &= top >= frame["y"] - 1 and bottom <= frame["y"] + frame["height"] + 1
        assert is_outside or is_whole, text


def test_no_name_of_a_crew_base_lies_under_a_flag(page: Page) -> None:
    """Flags stand over names: a base's name stands on the side where there is none."""
    covered = page.evaluate(
        """() => {
            const { layers, state } = seasonMap;
            const frame = layers.map.getContainer().getBoundingClientRect();
            const flags = state.ranking().sites.filter((site) => site.rank !== null && site.rank <= 10).map((site) => {
                const { x, y } = layers.map.latLngToContainerPoint([site.latitude_deg, site.longitude_deg]);
                return { left: frame.left + x - 16, right: frame.left + x + 16, top: frame.top + y - 32, bottom: frame.top + y };
            });
            if (flags.length !== 10) return ['other flags'];
            return [...document.querySelectorAll('.crew-name span')].filter((span) => flags.some((flag) => {
                const box = span.getBoundingClientRect();
                return box.left < flag.right && flag.left < box.right && box.top < flag.bottom && flag.top < box.bottom;
            })).map((span) => span.textContent);
        }"""
    )
    assert page.locator(".crew-name span").count() == 3
    assert covered == []


def test_sites_of_one_name_are_told_with_their_ids(page: Page, release_sites: pd.DataFrame) -> None:
    count = release_sites.loc[release_sites["name"] != "", "name"].value_counts()
    named = page.evaluate(
        """() => seasonMap.data.ranking(0, 'release').sites.map((site) => [site.site_id, site.name, seasonMap.data.ranking(0, 'release').nameOf(site)])"""
    )
    assert (count > 1).any()
    for site_id, name, told in named:
        expected = site_id if not name else f"{name} ({site_id})" if count[name] > 1 else name
        assert told == expected


def test_a_day_outside_the_season_is_told(page: Page) -> None:
    page.locator("#tab-time").click()
    told = page.get_by_text("No field work is planned on that day")
    page.evaluate("seasonMap.season.set('2027-06-20', false)")
    expect(told).to_have_count(0)
    page.evaluate("seasonMap.season.set('2027-09-20', false)")
    expect(told).to_have_count(1)


def test_every_card_tells_what_to_check_before_anyone_goes(page: Page) -> None:
    page.locator(".site-row").first.click()
    expect(page.locator("#card")).to_contain_text("Before anyone goes: permits")


def test_changed_weights_say_that_a_run_may_let_other_sites_in(page: Page) -> None:
    told = page.locator(".lead").get_by_text("a run with these weights may let other sites in")
    expect(told).to_have_count(0)
    page.evaluate(
        "seasonMap.weights.set('release', seasonMap.weights.plan('release').map((weight, at) => Number(at === 1)))"
    )
    expect(told).to_have_count(1)
