"""The findings on the map: off at first, drawn where they are, their words shown as text."""

import dataclasses
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from geo_scout.model.finding import Finding
from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables

pytestmark = pytest.mark.browser

HOSTILE = "<img src=x onerror=window.bad=1>{{ 7*7 }}"


@pytest.fixture
def season_with_findings(season: SeasonResult) -> SeasonResult:
    base = season.season.settings.crews[0]
    findings = (
        Finding("sliver", "caution", "infestations", "K7", HOSTILE, "Take it out.", -117.0, 46.0),
        Finding("superseded", "note", "infestations", "K8", "older.", "Nothing.",
                base.base_longitude_deg, base.base_latitude_deg),
        Finding("undated", "caution", "infestations", "", "of the whole layer.", "Fill it in."),
    )  # fmt: skip
    return dataclasses.replace(season, findings=findings)


def test_they_can_be_switched_on_and_read(
    browser: Browser, season_with_findings: SeasonResult, tmp_path: Path
) -> None:
    path = tmp_path / "map.html"
    write_map(path, season_with_findings, build_tables(season_with_findings, "crew"), "crew")
    context = browser.new_context(offline=True, viewport={"width": 1280, "height": 800})
    page = context.new_page()
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.goto(path.as_uri())
    expect(page.locator(".finding-mark")).to_have_count(0)
    expect(page.locator("#legend")).not_to_contain_text("Finding: caution")

    page.locator("#layers summary").click()
    assert not page.get_by_label("Findings").is_checked()
    page.get_by_label("Findings").check()
    expect(page.locator(".finding-mark")).to_have_count(2)  # the third has no place
    expect(page.locator("#legend")).to_contain_text("Finding: caution")
    expect(page.locator("#legend")).to_contain_text("Finding: note")
    page.locator("#layers summary").click()

    # The note stands on the crew base, so its place on the screen is known by another route.
    boxes = [
        page.locator(selector).bounding_box()
        for selector in (".finding-mark >> nth=1", ".crew-mark >> nth=0")
    ]
    centres = [(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2) for box in boxes if box]
    assert centres[0] == pytest.approx(centres[1], abs=1.0)

    page.locator(".finding-mark").first.click(force=True)
    card = page.locator("#card .record-card")
    expect(card).to_contain_text("Finding: Caution")
    expect(card.locator("h2")).to_have_text("infestations, K7")
    expect(card).to_contain_text(HOSTILE)
    expect(card).to_contain_text("Take it out.")
    assert page.evaluate("window.bad") is None

    page.locator("#layers summary").click()
    page.get_by_label("Findings").uncheck()
    expect(page.locator(".finding-mark")).to_have_count(0)
    page.get_by_label("Findings").check()
    expect(page.locator(".finding-mark")).to_have_count(2)
    assert said == []
    context.close()


def test_a_public_copy_holds_no_finding(season_with_findings: SeasonResult, tmp_path: Path) -> None:
    path = tmp_path / "public.html"
    write_map(path, season_with_findings, build_tables(season_with_findings, "public"), "public")
    assert "Take it out." not in path.read_text(encoding="utf-8")
