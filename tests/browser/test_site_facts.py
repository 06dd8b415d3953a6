"""A card's climate, ground and time of year, from columns written by hand, in a real browser with no network."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page

from geo_scout.model.result import SeasonResult
from geo_scout.model.site_windows import SiteWindows
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables

pytestmark = pytest.mark.browser

SIZES = {"wide": (1366, 900), "narrow": (375, 812)}
TOLD = {
    "climate_gap": 0.5,
    "climate_gap_kind": "regional",
    "climate_gap_driver": "from Corrie Bend: winters 4.1 degC colder; that drives the mismatch",
    "climate_gap_populations": 12,
    "novelty": -3.2,
    "novelty_note": "winters -14.31 degC is outside the known -13.97 to -12.14",
    "climate_tmin_correction_degc": -0.4,
    "climate_tmax_correction_degc": 1.25,
    "climate_note": "a valley floor, where cold air gathers",
    "elevation_m": 1012.4,
    "slope_deg": 7.26,
    "aspect_deg": 201.0,
    "aspect_strength": 0.845,
    "heat_load": 0.912,
    "relative_position_m": -12.3,
    "window_kind": "degree-days",
    "window_scout": "2027-05-23",
    "window_opens": "2027-06-06",
    "window_peaks": "",
    "window_closes": "2027-08-05",
    "window_opens_early": "2027-05-27",
    "window_opens_late": "2027-06-17",
    "window_cool_shift_days": 1.0,
    "window_warm_shift_days": -6.0,
    "window_basis": "normals of 1991-2020 (late-biased: normals only)",
    "window_note": "closes after the season ends",
    "best_source_note": "no source is ranked",
}


def _with(season: SeasonResult, columns: dict[str, object]) -> SeasonResult:
    """Return the season with the same columns at every site, and words to be seen."""
    count = len(season.rankings[0].table)
    nothing, no_days = np.full(count, ""), np.full((4, count), np.datetime64("NaT"))
    empty = np.full(count, np.nan)
    windows = SiteWindows(
        nothing,
        no_days,
        no_days[0],
        no_days[0],
        empty,
        empty,
        nothing,
        nothing,
        ("", "first flowers", "", ""),
    )
    rankings = tuple(replace(one, table=one.table.assign(**columns)) for one in season.rankings)
    keys = [(one.agent, one.role) for one in rankings]
    return replace(season, rankings=rankings, windows=dict.fromkeys(keys, windows))


@pytest.fixture
def read_card(browser: Browser, season: SeasonResult, tmp_path: Path) -> Iterator[Callable[..., str]]:
    contexts = []

    def read(columns: dict[str, object], size: str = "wide", role: str = "release") -> str:
        made = _with(season, columns)
        write_map(tmp_path / "map.html", made, build_tables(made, "crew"), "crew")
        width, height = SIZES[size]
        context = browser.new_context(offline=True, viewport={"width": width, "height": height})
        contexts.append(context)
        page: Page = context.new_page()
        said: list[str] = []
        page.on("console", lambda message: said.append(message.text))
        page.on("pageerror", lambda error: said.append(str(error)))
        page.goto((tmp_path / "map.html").as_uri())
        page.locator(f"[data-role={role}]").click()
        page.locator(".site-row").first.click()
        text = page.locator(".site-card").inner_text()
        assert page.evaluate("document.documentElement.scrollWidth") == width
        assert page.evaluate("window.bad") is None
        assert said == []
        return text

    yield read
    for context in contexts:
        context.close()


@pytest.mark.parametrize("size", SIZES)
def test_a_card_tells_climate_ground_and_window(read_card: Callable[..., str], size: str) -> None:
    text = read_card(TOLD, size)
    for said in (
        "When it can receive",
        "6 June 2027; 27 May to 17 June in 8 years of 10",
        "5 August 2027",
        "warmer: opens 6 days earlier; cooler: 1 day later",
        "Watch the site from",
        "Window opens",
        "window opens: first flowers",
        "no source is ranked",
        "normals of 1991-2020 (late-biased: normals only)",
        "Caution: closes after the season ends.",
        "Dates are estimates. Look before a crew goes.",
        "0.50, a regional distance; 0 is the same climate",
        "From Corrie Bend: winters 4.1 degC colder; that drives the mismatch.",
        "Caution: winters -14.31 degC is outside the known -13.97 to -12.14.",
        "minima −0.40\u00a0°C, maxima +1.25\u00a0°C on the year’s mean; a valley floor, where cold air gathers",
        "1012\u00a0m",
        "7.3°",
        "S (201°), strength 0.84",
        "0.91",
        "12\u00a0m below the ground around",
    ):
        assert said in text, said
    assert "peaks" not in text.casefold()


def test_sigmas_are_no_distances_and_a_source_is_collected(read_card: Callable[..., str]) -> None:
    text = read_card({**TOLD, "climate_gap_kind": "interannual"}, role="source")
    assert "When to collect" in text
    assert "0.50 sigmas of year-to-year variability" in text


def test_what_is_not_known_is_not_shown_as_a_number(read_card: Callable[..., str]) -> None:
    missing: dict[str, object] = {name: "" if isinstance(old, str) else np.nan for name, old in TOLD.items()}
    text = read_card(
        {**missing, "climate_gap_driver": "no climate layer has values here", "window_kind": "unknown"}
    )
    assert "No window is known." in text
    assert "Not scored: no climate layer has values here." in text
    assert not any(word in text for word in ("The ground", "NaN", "null", "undefined", "Corrected for"))


@pytest.mark.parametrize("size", SIZES)
def test_a_source_tells_what_it_could_yield_as_a_range(read_card: Callable[..., str], size: str) -> None:
    known = {
        "supply_low": 54.0, "supply": 168.0, "supply_high": 521.0, "releases_low": 0.27, "releases": 0.84,
        "releases_high": 2.6, "hours_per_release": 9.5, "patch_total": np.nan, "patch_total_low": np.nan,
        "patch_total_high": np.nan, "supply_note": "40 per person-hour on 2024-07-16.",
    }  # fmt: skip
    text = read_card({**TOLD, **known}, size, role="source")
    for said in ("168 (54 to 521)", "0.8 (0.3 to 2.6)", "9.5\u00a0h", "40 per person-hour on 2024-07-16."):
        assert said in text, said
    assert "On the whole patch" not in text
    asked = {**known, **dict.fromkeys(known, np.nan), "supply_note": "unknown: no catch on record."}
    text = read_card({**TOLD, **asked}, size, role="source")
    assert "Unknown: no catch on record." in text
    assert not any(word in text for word in ("NaN", "null", "undefined", "Releases they fill"))


def test_flat_ground_faces_no_way(read_card: Callable[..., str]) -> None:
    assert "no way more than others" in read_card({**TOLD, "aspect_deg": np.nan, "aspect_strength": np.nan})


def test_words_of_a_layer_are_read_as_words(read_card: Callable[..., str]) -> None:
    hostile = "<img src=x onerror=window.bad=1>{{ 7*7 }}`${window.bad=1}`"
    texts = ("climate_gap_driver", "novelty_note", "climate_note", "window_basis", "window_note")
    text = read_card({**TOLD, **dict.fromkeys(texts, hostile)})
    assert text.count("window.bad=1>{{ 7*7 }}") == len(texts)
