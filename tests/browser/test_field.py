"""The Field tab: where am I, measuring, points, notes kept on the device, and the files they become."""

import csv
import dataclasses
import io
import json
import re
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import gpxpy
import pandas as pd
import pytest
from geographiclib.geodesic import Geodesic
from geojson_pydantic import FeatureCollection
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect
from pyproj import Transformer

from geo_scout.layers import read_layers
from geo_scout.model.agent import AgentProfile
from geo_scout.model.layers import LayerSet
from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables
from tests.reading_seasons import season_of

pytestmark = [pytest.mark.browser, pytest.mark.slow]

WIDE, PHONE = {"width": 1280, "height": 800}, {"width": 375, "height": 740}
HERE = {"latitude": 46.0203, "longitude": -117.0417, "accuracy": 2_500}
HOSTILE = '=1+1,"`${window.bad=1}`{{7*7}}</script><img src=x onerror=window.bad=1>\u202e\U0001f41b'
FAIL_WITH = "navigator.geolocation.watchPosition = (known, failed) => { setTimeout(() => failed({ code: CODE }), 10); return 1; };"
NO_STORAGE = "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });"
NO_CLIPBOARD = "Object.defineProperty(navigator, 'clipboard', { value: { writeText: () => Promise.reject(new Error('no')) } });"


@pytest.fixture(scope="module")
def map_file(season: SeasonResult, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return _write(tmp_path_factory.mktemp("field") / "map.html", season)


def _write(path: Path, season: SeasonResult) -> Path:
    write_map(path, season, build_tables(season, "crew"), "crew")
    return path


@dataclasses.dataclass
class Field:
    """A page, and everything it said that it should not."""

    page: Page
    wrong: list[str]

    def tab(self) -> Locator:
        self.page.locator("#tab-field").click()
        return self.page.locator("#panel-field")

    def choose(self, number: int = 0) -> str:
        """Choose a ranked site in the list, and return its id."""
        self.page.locator("#tab-sites").click()
        row = self.page.locator("#sites .site-row").nth(number)
        row.click()
        return str(row.get_attribute("data-site"))

    def note(self, result: str = "Found", number: int = 0, **fields: str) -> str:
        """Write a note about a ranked site through its card, and return the site's id."""
        site_id = self.choose(number)
        self.page.locator("#card").get_by_role("button", name="Write a note").click()
        self.page.get_by_label(result, exact=True).check()
        for name, text in fields.items():
            control = self.page.locator(f"#note-{name}")
            if control.evaluate("node => node.tagName") == "SELECT":
                control.select_option(text)
            else:
                control.fill(text)
        self.page.get_by_role("button", name="Keep this note").click()
        return site_id

    def saved(self, label: str | re.Pattern[str]) -> tuple[str, bytes]:
        """Press a button that saves a file, and return its name and what is in it."""
        with self.page.expect_download() as waiting:
            self.tab().get_by_role("button", name=label).click()
        return waiting.value.suggested_filename, Path(waiting.value.path()).read_bytes()

    def assert_quiet(self) -> None:
        assert self.wrong == []


Opener = Callable[..., Field]


@pytest.fixture
def open_map(browser: Browser, map_file: Path) -> Iterator[Opener]:
    contexts: list[BrowserContext] = []

    def opened(path: Path = map_file, *, phone: bool = False, script: str = "", **options: Any) -> Field:
        context = browser.new_context(
            offline=True, viewport=PHONE if phone else WIDE, is_mobile=phone, has_touch=phone, **options
        )
        contexts.append(context)
        if script:
            context.add_init_script(script)
        return _open(context, path)

    yield opened
    for context in contexts:
        context.close()


def _open(context: BrowserContext, path: Path) -> Field:
    page, wrong = context.new_page(), []
    page.on("console", lambda message: wrong.append(message.text))
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("request", lambda request: wrong.append(request.url) if "http" in request.url[:5] else None)
    page.goto(path.as_uri())
    page.wait_for_selector("html[data-ready]")
    return Field(page, wrong)


def _way(start: tuple[float, float], goal: tuple[float, float]) -> tuple[float, float]:
    """Return distance [m] and bearing [deg] of the shortest way."""
    found = Geodesic.WGS84.Inverse(*start, *goal)
    return found["s12"], found["azi1"] % 360


def _shown_leg(text: str) -> tuple[float, float]:
    """Return distance [m] and bearing [deg] as they are written."""
    found = re.search(r"([\d.,]+)\s(k?m), (\d+)° ([NESW]{1,3})\b", text)
    assert found, text
    # The sixteen points of the compass, 22.5 degrees apart.
    names = [
        "N",
        "NNE",
        "NE",
        "ENE",
        "E",
        "ESE",
        "SE",
        "SSE",
        "S",
        "SSW",
        "SW",
        "WSW",
        "W",
        "WNW",
        "NW",
        "NNW",
    ]
    assert abs((int(found[3]) - 22.5 * names.index(found[4]) + 180) % 360 - 180) <= 11.75
    return float(found[1].replace(",", "")) * (1000 if found[2] == "km" else 1), float(found[3])


def _ranked(season: SeasonResult) -> pd.DataFrame:
    table = build_tables(season, "crew")["release"]
    return table[
        (table["agent"] == season.season.agents[0].name) & (table["status"] == "ranked")
    ].reset_index()


# ---- where am I


def test_the_position_is_drawn_with_its_accuracy_and_the_nearest_site_is_named(
    open_map: Opener, season: SeasonResult
) -> None:
    field = open_map(permissions=["geolocation"], geolocation=HERE)
    page = field.page
    button = page.get_by_role("button", name="Where am I", exact=True).first
    button.click()
    expect(page.locator(".map-bar").first).to_contain_text("Your position is known to 2500 m")
    expect(button).to_have_attribute("aria-pressed", "true")
    # Web Mercator: metres on the ground in one pixel.
    m_per_px = page.evaluate(
        "156543.03392804097 * Math.cos(46.0203 * Math.PI / 180) / 2 ** map_season.getZoom()"
    )
    width_px = page.locator("path.field-accuracy").evaluate("node => node.getBBox().width")
    assert width_px * m_per_px == pytest.approx(5_000, rel=0.02)
    here = (HERE["latitude"], HERE["longitude"])
    sites = pd.concat([build_tables(season, "crew")["release"]]).query(
        "agent == @season.season.agents[0].name"
    )
    away = {s.site_id: _way(here, (s.latitude_deg, s.longitude_deg)) for s in sites.itertuples()}
    by_id = sites.set_index("site_id")
    ranked = [one for one in sorted(away, key=lambda one: away[one][0]) if by_id.status[one] == "ranked"]
    nearest = ranked[:5]
    buttons = field.tab().get_by_role("list", name="Ranked").locator("[data-nearest]")
    assert buttons.evaluate_all("all => all.map((one) => one.dataset.nearest)") == nearest
    for site_id, text in zip(nearest, buttons.all_inner_texts(), strict=True):
        assert text.startswith(f"Rank {by_id['rank'][site_id]:.0f}: {by_id.name[site_id] or site_id}"), text
        assert site_id in text
        assert "to its middle" in text or "you are in this patch" in text
        distance_m, bearing_deg = _shown_leg(text)
        assert distance_m == pytest.approx(away[site_id][0], rel=0.001)
        assert abs((bearing_deg - away[site_id][1] + 180) % 360 - 180) <= 0.51
    buttons.nth(1).click()
    expect(page.locator("#card .site-card .identity")).to_contain_text(nearest[1])
    field.page.context.set_geolocation({"latitude": 45.9, "longitude": -116.9, "accuracy": 8})
    expect(page.locator(".map-bar").first).to_contain_text("known to 8 m")
    button.click()
    expect(button).to_have_attribute("aria-pressed", "false")
    expect(page.locator("path.field-accuracy")).to_have_count(0)
    expect(page.locator(".map-bar").first).to_be_hidden()
    field.assert_quiet()


@pytest.mark.parametrize(
    ("options", "script", "said", "is_pressed"),
    [
        ({}, "", "The position was refused.", "false"),
        ({}, FAIL_WITH.replace("CODE", "2"), "This device has no position now.", "true"),
        ({}, FAIL_WITH.replace("CODE", "3"), "No position came within half a minute.", "true"),
        ({}, "delete Navigator.prototype.geolocation;", "The browser gives this page no position.", "false"),
    ],
    ids=["refused", "unavailable", "timeout", "impossible"],
)
def test_why_there_is_no_position_is_said(
    open_map: Opener, options: dict[str, Any], script: str, said: str, is_pressed: str
) -> None:
    field = open_map(script=script, **options)
    button = field.page.locator("#where-am-i")
    button.click()
    expect(field.page.locator(".map-bar").first).to_contain_text(said)
    expect(button).to_have_attribute("aria-pressed", is_pressed)
    expect(field.page.locator("path.field-dot")).to_have_count(0)
    field.assert_quiet()


# ---- measuring and points

TAPS = ((330, 250), (620, 300), (500, 420))


def _map_position(page: Page, x: float, y: float) -> tuple[float, float]:
    script = "([x, y]) => { const at = map_season.containerPointToLatLng([x, y]); return [at.lat, at.lng]; }"
    latitude_deg, longitude_deg = page.evaluate(script, [x, y])
    return latitude_deg, longitude_deg


def test_tapped_points_are_measured_and_choose_nothing(open_map: Opener) -> None:
    field = open_map()
    page = field.page
    page.locator("#measure").click()
    bar = page.get_by_role("group", name="Measure")
    expect(bar).to_contain_text("Tap the map point by point")
    mark = page.locator(".site-mark", has_text=re.compile("^1$")).bounding_box()
    assert mark is not None
    taps = [*TAPS, (mark["x"] + 15, mark["y"] + 15)]  # the map's corner is that of the page
    points = [_map_position(page, *tap) for tap in taps]
    for tap in taps:
        page.mouse.click(*tap)
    legs = [_way(start, goal) for start, goal in pairwise(points)]
    said = bar.locator("p").inner_text()
    whole, last = said.split("Last leg")
    found = re.search(r"([\d.]+)\skm", whole)
    assert found
    assert float(found[1]) * 1000 == pytest.approx(sum(leg[0] for leg in legs), rel=0.001)
    assert _shown_leg(last)[0] == pytest.approx(legs[-1][0], rel=0.001)
    assert abs(_shown_leg(last)[1] - legs[-1][1]) <= 0.51
    expect(page.locator("#card")).to_be_hidden()
    expect(page.locator("path.field-dot.is-measured")).to_have_count(4)
    page.mouse.move(400, 300)
    page.mouse.down()
    page.mouse.move(460, 340, steps=4)
    page.mouse.up()
    expect(page.locator("path.field-dot.is-measured")).to_have_count(4)
    for _ in range(2):
        bar.get_by_role("button", name="Undo last point").click()
    assert _shown_leg(bar.locator("p").inner_text())[0] == pytest.approx(legs[0][0], rel=0.001)
    page.locator(".map").focus()
    page.keyboard.press("Enter")
    expect(page.locator("path.field-dot.is-measured")).to_have_count(3)
    bar.get_by_role("button", name="End").click()
    expect(page.locator("path.field-dot")).to_have_count(0)
    expect(page.locator("#measure")).to_be_focused()
    page.locator(".site-mark", has_text=re.compile("^1$")).click()
    expect(page.locator("#card .site-card")).to_have_count(1)
    field.assert_quiet()


def test_places_are_measured_by_their_names(open_map: Opener, season: SeasonResult) -> None:
    field = open_map(permissions=["geolocation"], geolocation=HERE)
    sites = _ranked(season)
    one, other = sites.iloc[0], sites.iloc[3]
    field.choose(0)
    form = field.tab().locator("form", has_text="From my position")
    expect(form.get_by_label("From", exact=True)).to_have_value(f"{one['name']} ({one['site_id']})")
    to, answer = form.get_by_label("To (site"), form.locator(".answer")

    def measured(text: str) -> str:
        to.fill(text)
        form.get_by_role("button", name="Measure").click()
        return answer.inner_text()

    start, goal = ((site["latitude_deg"], site["longitude_deg"]) for site in (one, other))
    assert _shown_leg(measured(other["site_id"].lower()))[0] == pytest.approx(_way(start, goal)[0], rel=0.001)
    assert _shown_leg(measured("45.5, −118"))[0] == pytest.approx(_way(start, (45.5, -118.0))[0], rel=0.001)
    assert "no site of this list has that name" in measured("Nowhere Flat")
    assert "no site of this list has that name" in measured("95.5, -118")
    form.get_by_label("From my position").check()
    assert "it is not known" in measured(other["site_id"])
    field.page.locator("#where-am-i").click()
    expect(field.page.locator("path.field-dot.is-me")).to_have_count(1)
    here = (HERE["latitude"], HERE["longitude"])
    assert _shown_leg(measured(other["site_id"]))[0] == pytest.approx(_way(here, goal)[0], rel=0.001)
    field.assert_quiet()


def test_any_point_tells_its_coordinates(open_map: Opener, season: SeasonResult) -> None:
    field = open_map(permissions=["clipboard-read", "clipboard-write"])
    page = field.page
    site = _ranked(season).iloc[0]
    field.choose(0)
    expected = _map_position(page, 560, 380)
    page.mouse.click(560, 380, button="right")
    card = page.locator("#card .point-card")
    degrees = f"{expected[0]:.6f}, {expected[1]:.6f}"
    expect(card).to_contain_text(degrees)
    easting_m, northing_m = Transformer.from_crs(4326, 32611, always_xy=True).transform(*expected[::-1])
    grid = card.get_by_text(re.compile("^11N")).inner_text()
    found = re.fullmatch(r"11N (\d+) E (\d+) N", grid)
    assert found
    assert (float(found[1]), float(found[2])) == pytest.approx((easting_m, northing_m), abs=0.51)
    away = card.get_by_text(f"from {site['name']}").locator("..").inner_text()
    distance_m, _ = _way((site["latitude_deg"], site["longitude_deg"]), expected)
    assert _shown_leg(away)[0] == pytest.approx(distance_m, rel=0.006)
    card.get_by_role("button", name="Copy: UTM").click()
    expect(card).to_contain_text("Copied")
    assert page.evaluate("navigator.clipboard.readText()") == grid
    expect(page.locator("path.field-dot.is-point")).to_have_count(1)
    page.keyboard.press("Escape")
    expect(page.locator("path.field-dot.is-point")).to_have_count(0)
    field.tab().get_by_role("button", name="Point on the map").click()
    page.mouse.click(560, 380)
    expect(card).to_contain_text(degrees)
    field.tab().get_by_role("button", name="Middle of the map").click()
    expect(card).to_contain_text(re.compile(r"^(?!.*" + re.escape(degrees) + ")"))
    field.assert_quiet()


@pytest.mark.slow
def test_a_refused_clipboard_leaves_the_text_selected(open_map: Opener) -> None:
    field = open_map(script=NO_CLIPBOARD)
    field.choose(0)
    button = field.page.locator("#card").get_by_role("button", name="Copy: UTM")
    button.click()
    expect(field.page.locator(".copy-by-hand")).to_be_focused()
    chosen = "() => { const box = document.activeElement; return box.value.slice(box.selectionStart, box.selectionEnd); }"
    assert re.fullmatch(r"11N \d+ E \d+ N", field.page.evaluate(chosen))
    expect(field.page.locator("#card")).to_contain_text("Copying was refused")


# ---- notes


def test_notes_survive_a_reload_and_are_changed_deleted_and_brought_back(
    open_map: Opener, map_file: Path
) -> None:
    # At 20:00 UTC it is already the next day on this island.
    field = open_map(timezone_id="Pacific/Kiritimati")
    page = field.page
    page.clock.set_fixed_time("2026-07-01T20:00:00Z")
    site_id = field.note(count="12", effort_hours="1.5", note="galls on the west side")
    tab = field.tab()
    note = tab.locator(".notes > li")
    expect(note).to_have_count(1)
    page.reload()
    tab = field.tab()
    expect(note).to_contain_text("Found · 2 July 2026")
    for text in (site_id, "counted 12", "1.5\u00a0h of looking", "galls on the west side"):
        expect(note).to_contain_text(text)
    expect(tab).to_contain_text("Other pages opened from files on this device can read them.")
    expect(tab).not_to_contain_text("Notes are not kept")
    note.get_by_role("button", name="Change").click()
    page.get_by_label("Not found", exact=True).check()
    page.get_by_role("button", name="Keep this note").click()
    expect(tab.locator(".trouble", has_text="Something was counted, so it was found")).to_be_visible()
    page.locator("#note-count").fill("")
    page.get_by_role("button", name="Keep this note").click()
    expect(note).to_have_count(1)
    expect(note).to_contain_text("Not found")
    note.get_by_role("button", name="Delete").click()
    expect(note).to_have_count(0)
    tab.get_by_role("button", name="Undo", exact=True).click()
    expect(note).to_contain_text("galls on the west side")
    field.choose(0)
    expect(page.locator("#card .card-notes")).to_contain_text("galls on the west side")
    elsewhere = _open(page.context, map_file)
    elsewhere.note(number=1, note="from another window")
    expect(note).to_have_count(2)
    elsewhere.page.on("dialog", lambda dialog: field.wrong.append(dialog.type))
    elsewhere.page.close(run_before_unload=True)  # kept, so nobody is asked
    page.wait_for_timeout(100)
    field.assert_quiet()


@pytest.mark.slow
def test_what_was_typed_is_there_after_the_page_was_closed(open_map: Opener, map_file: Path) -> None:
    field = open_map()
    field.choose(0)
    field.page.locator("#card").get_by_role("button", name="Write a note").click()
    field.page.locator("#note-note").fill("half a sent")
    field.choose(1)
    field.page.locator("#card").get_by_role("button", name="Write a note").click()
    expect(field.page.locator("#note-trouble")).to_contain_text("Keep or cancel this note")
    context = field.page.context
    field.page.close()
    again = _open(context, map_file)
    again.tab()
    expect(again.page.locator("#note-note")).to_have_value("half a sent")
    again.page.get_by_role("button", name="Cancel").click()
    again.page.reload()
    again.tab()
    expect(again.page.locator("#note-note")).to_have_count(0)
    again.assert_quiet()


CANNOT_BE = (
    ({}, "Choose found, not found or not looked."),
    ({"result": "Found", "date": ""}, "Give the day."),
    ({"date": "2026-06-20", "count": "1.5"}, "The count is a whole number"),
    ({"count": "0"}, "A count of 0 is not found"),
    ({"count": "", "result": "Not found", "effort_hours": "-1"}, "Hours are a number, 0 or more"),
    ({"effort_hours": "1", "count": "2"}, "Something was counted, so it was found"),
)


def test_a_note_that_cannot_be_true_is_not_kept(open_map: Opener) -> None:
    field = open_map()
    field.choose(0)
    field.page.locator("#card").get_by_role("button", name="Write a note").click()
    for fields, what in CANNOT_BE:
        for name, text in fields.items():
            if name == "result":
                field.page.get_by_label(text, exact=True).check()
            else:
                field.page.locator(f"#note-{name}").fill(text)
        field.page.get_by_role("button", name="Keep this note").click()
        expect(field.page.locator("#note-trouble")).to_contain_text(what)
        expect(field.page.locator(".note-form [aria-invalid=true]")).to_be_focused()
        expect(field.page.locator(".notes > li")).to_have_count(0)
    field.page.get_by_label("Not looked", exact=True).check()  # then nobody counted anything
    field.page.get_by_role("button", name="Keep this note").click()
    expect(field.page.locator(".notes > li")).not_to_contain_text("counted")


@pytest.mark.slow
def test_without_storage_notes_are_held_and_the_reader_is_warned(open_map: Opener) -> None:
    field = open_map(script=NO_STORAGE)
    tab = field.tab()
    expect(tab).to_contain_text("Notes are not kept on this device: save a file before you close the page.")
    field.note(note="held")
    expect(tab.locator(".notes > li")).to_contain_text("held")
    asked: list[str] = []
    field.page.on("dialog", lambda dialog: (asked.append(dialog.type), dialog.dismiss()))
    field.page.close(run_before_unload=True)
    field.page.wait_for_timeout(200)
    assert asked == ["beforeunload"]
    _, saved = field.saved("Save visits (CSV)")
    assert b"held" in saved
    field.page.close(run_before_unload=True)
    field.page.wait_for_event("close")
    field.assert_quiet()


@pytest.mark.slow
def test_where_storage_is_full_the_reader_is_warned_and_can_still_save(open_map: Opener) -> None:
    field = open_map()
    field.note(note="kept")
    expect(field.tab()).not_to_contain_text("Notes are not kept")
    full = "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); }; 0"
    field.page.evaluate(full)
    field.note(number=1, note="held")
    expect(field.tab()).to_contain_text("Notes are not kept on this device")
    expect(field.page.locator(".notes > li")).to_have_count(2)
    _, saved = field.saved("Save all notes (CSV)")
    assert [row["note"] for row in _rows(saved)] == ["kept", "held"]


@pytest.mark.slow
def test_what_other_pages_wrote_into_the_storage_does_no_harm(open_map: Opener, map_file: Path) -> None:
    found = re.search(r'"dataset": ?"([0-9a-f]+)"', map_file.read_text(encoding="utf-8"))
    assert found
    junk = [
        None,
        7,
        "x",
        {"visit_id": "a"},
        {"visit_id": "b", "result": "found", "note": {"x": 1}, "count": "9", "site_name": "<img src=x>"},
    ]
    stored = {"notes": json.dumps(junk), "draft": '{"note": 3, "spot": []}', "observer": "{"}
    script = "".join(
        f"localStorage.setItem('geo_scout:{found[1]}:{key}', {json.dumps(text)});"
        for key, text in stored.items()
    )
    field = open_map(script=script)
    notes = field.tab().locator(".notes > li")
    expect(notes).to_have_count(1)
    expect(notes).to_contain_text("<img src=x>")
    assert field.page.locator("#panel-field img").count() == 0
    field.choose(0)
    field.page.locator("#card").get_by_role("button", name="Write a note").click()
    expect(field.page.locator("#note-observer")).to_have_value("")
    field.assert_quiet()


# ---- files


def _rows(saved: bytes) -> list[dict[str, str]]:
    assert saved.startswith(b"\xef\xbb\xbf")
    text = saved.decode("utf-8-sig")
    assert "\n" not in re.sub(r'"[^"]*"', "", text).replace("\r\n", "")
    return list(csv.DictReader(io.StringIO(text, newline="")))


def _read_as_visits(folder: Path, file: str, season: SeasonResult) -> LayerSet:
    """Return the layers of a season that names a saved file as its visits, and nothing about its columns."""
    agents = season.season.agents
    patches = [
        season.sites[agent.host].patches.assign(host=agent.host, cover=20.0, survey_date="2025-06-01")
        for agent in agents
    ]
    pd.concat(patches)[["site_id", "host", "cover", "survey_date", "geometry"]].to_file(folder / "weeds.gpkg")
    frames = [
        season.evidence[agent.name].releases[["release_id", "agent", "date", "geometry"]] for agent in agents
    ]
    pd.concat(frames).to_file(folder / "releases.gpkg")
    layers = {
        "infestations": {
            "path": "weeds.gpkg", "columns": {"id": "site_id"}, "units": {"cover": "percent"},
        },
        "releases": {"path": "releases.gpkg"},
        "visits": {"path": file},
    }  # fmt: skip
    made = season_of(folder, layers, hosts=tuple(agent.host for agent in agents))
    profiles = tuple(
        AgentProfile.model_validate(
            {"format": 1, "name": agent.name, "host": agent.host, "establishment": {"prior_share": 0.4}}
        )
        for agent in agents
    )
    return read_layers(dataclasses.replace(made, agents=profiles))


@pytest.mark.parametrize(
    ("label", "suffix"),
    [
        ("Save visits (CSV)", ".csv"),
        pytest.param("Save visits (GeoJSON)", ".geojson", marks=pytest.mark.slow),
    ],
)
def test_saved_visits_are_read_back_as_the_visits_layer(
    open_map: Opener, season: SeasonResult, tmp_path: Path, label: str, suffix: str
) -> None:
    patches = season.sites[season.season.agents[0].host].patches
    places = patches.set_index("site_id").geometry.representative_point().to_crs(4326)
    released = season.evidence[season.season.agents[0].name].releases.set_index("site_id")
    ranked = _ranked(season)["site_id"].to_list()
    number = next(at for at, site_id in enumerate(ranked) if site_id in released.index)
    stands = places[ranked[number]]
    spot = {"latitude": round(stands.y, 6), "longitude": round(stands.x, 6), "accuracy": 6.2}
    field = open_map(permissions=["geolocation"], geolocation=spot)
    field.page.clock.set_fixed_time("2026-07-01T12:00:00Z")
    field.page.locator("#where-am-i").click()
    expect(field.page.locator("path.field-dot.is-me")).to_have_count(1)
    details = {
        "count": "12",
        "effort_hours": "1.5",
        "method": "sweep net",
        "sign": "galls",
        "life_stage": "adult",
    }
    release_id = released.loc[ranked[number], "release_id"]
    assert field.note(number=number, **details, observer="A, B", release_id=release_id) == ranked[number]
    other = field.note("Not found", number=0 if number else 1, date="2026-06-20", note=HOSTILE)
    field.note("Not looked", number=2)
    field.page.locator("#agent").select_option(index=1)
    third = field.note(number=0, count="3")
    expect(field.tab()).to_contain_text("One note where nobody looked is no visit")
    name, saved = field.saved(label)
    assert name == f"visits_2026-07-01{suffix}"
    (tmp_path / name).write_bytes(saved)
    layers = _read_as_visits(tmp_path, name, season)
    said = {(one.grade, one.code) for one in layers.findings if one.layer == "visits"}
    assert not {grade for grade, _ in said} & {"stop", "caution"}, said
    visits = layers.vectors["visits"]
    assert visits["found"].to_list() == [False, True, True]
    assert visits["agent"].to_list() == ["Root weevil", "Root weevil", "Gall midge"]
    assert visits["date"].dt.strftime("%Y-%m-%d").to_list() == ["2026-06-20", "2026-07-01", "2026-07-01"]
    assert visits["release_id"].to_list()[1] == release_id
    seen = visits.iloc[1]
    assert (seen["count"], seen["effort_hours"], seen["observer"]) == (12, 1.5, "A, B")
    assert (seen["method"], seen["sign"], seen["life_stage"]) == ("sweep net", "galls", "adult")
    assert visits["coordinate_uncertainty_m"].fillna(-1).to_list() == [-1, 7, -1]
    degrees = visits.geometry.to_crs(4326)
    assert (degrees.y.iloc[1], degrees.x.iloc[1]) == pytest.approx(
        (spot["latitude"], spot["longitude"]), abs=1e-6
    )
    tables = build_tables(season, "crew")["release"].set_index("site_id")
    for row, site_id in ((0, other), (2, third)):
        site = tables.loc[site_id]
        assert (degrees.y.iloc[row], degrees.x.iloc[row]) == pytest.approx(
            (site["latitude_deg"], site["longitude_deg"]), abs=1e-6
        )
    if suffix == ".csv":
        rows = _rows(saved)
        assert rows[0]["note"] == "'" + HOSTILE
        assert rows[0]["longitude_deg"].startswith("-11")
        assert [row["site_id"] for row in rows] == [other, ranked[number], third]
        everything = _rows(field.saved("Save all notes (CSV)")[1])
        assert [row["result"] for row in everything] == ["not found", "found", "not looked", "found"]
    else:
        features = FeatureCollection.model_validate_json(saved).features
        assert features[0].properties is not None
        assert features[0].properties["note"] == HOSTILE
        assert [one.geometry.type for one in features if one.geometry] == ["Point"] * 3
        assert len({one.id for one in features}) == 3
    field.assert_quiet()


@pytest.mark.slow
def test_a_hostile_note_is_shown_and_never_runs(open_map: Opener) -> None:
    field = open_map()
    long = "W" * 10_000
    field.note(note=HOSTILE, method=HOSTILE, sign=long, observer=HOSTILE)
    note = field.tab().locator(".notes > li")
    assert HOSTILE in (note.locator(".note-text").text_content() or "")
    field.choose(0)
    expect(field.page.locator("#card .card-notes")).to_contain_text("window.bad")
    assert field.page.evaluate("window.bad") is None
    assert field.page.locator("#panel-field img, #card img").count() == 0
    assert field.page.evaluate("document.documentElement.scrollWidth") == WIDE["width"]
    broken = field.page.evaluate(
        "seasonMap.csvText(['a', 'b'], [{ a: 'x\\ud800y\\u0000\\u0007', b: -0.5 }, { a: '@x', b: null }])"
    )
    assert broken == "\ufeffa,b\r\nxy,-0.5\r\n'@x,\r\n"
    field.assert_quiet()


GPX = "{http://www.topografix.com/GPX/1/1}"
WAYPOINT_ORDER = ("ele", "time", "magvar", "geoidheight", "name", "cmt", "desc", "src", "link", "sym", "type")


@pytest.mark.parametrize(
    "text",
    ["", pytest.param(HOSTILE.replace("\u202e", "") + "]]>&amp; ", marks=pytest.mark.slow)],
    ids=["plain", "hostile"],
)
def test_shown_sites_become_waypoints_and_a_list(
    open_map: Opener, make_season: Callable[..., SeasonResult], tmp_path: Path, text: str
) -> None:
    season = make_season(12, relief_px=0, text=lambda plain: text + plain)
    field = open_map(_write(tmp_path / "map.html", season))
    table = _ranked(season)
    name, saved = field.saved(re.compile("^Waypoints"))
    assert name.endswith(".gpx")
    read = gpxpy.parse(saved.decode("utf-8"))
    assert (read.version, read.creator) == ("1.1", "geo_scout")
    assert len(read.waypoints) == len(table)
    for row, waypoint in zip(table.itertuples(), read.waypoints, strict=True):
        assert (waypoint.latitude, waypoint.longitude) == pytest.approx(
            (row.latitude_deg, row.longitude_deg), abs=5e-7
        )
        assert waypoint.name is not None
        assert waypoint.name.startswith(f"{row.rank} ")
        assert row.site_id in (waypoint.description or "")
        assert not re.search("[\x00-\x08\x0b\x0c\x0e-\x1f]", waypoint.name)
    root = ElementTree.fromstring(saved)
    assert root.tag == f"{GPX}gpx"
    assert [child.tag for child in root] == [f"{GPX}metadata", *[f"{GPX}wpt"] * len(table)]
    for waypoint in root.iter(f"{GPX}wpt"):
        assert re.fullmatch(r"-?\d+\.\d{6}", waypoint.attrib["lat"])
        places = [WAYPOINT_ORDER.index(child.tag.removeprefix(GPX)) for child in waypoint]
        assert places == sorted(places)
    rows = _rows(field.saved(re.compile("^List"))[1])
    assert [row["site_id"] for row in rows] == table["site_id"].to_list()
    assert [float(row["score_low"]) for row in rows] == table["score_low"].to_list()
    assert {row["weights"] for row in rows} == {"plan"}
    assert all(row["name"].lstrip("'")[:1] == (text or row["name"])[:1] for row in rows)
    assert not text or all(row["name"].startswith("'=") for row in rows)
    field.page.get_by_label("Ranked sites only").uncheck()
    every = build_tables(season, "crew")["release"].query("agent == @season.season.agents[0].name")
    assert len(_rows(field.saved(re.compile("^List"))[1])) == len(every)
    field.assert_quiet()


# ---- on a phone


def test_the_field_tab_fits_a_phone(open_map: Opener, tmp_path: Path) -> None:
    field = open_map(phone=True, permissions=["geolocation"], geolocation=HERE)
    page = field.page
    page.locator("#where-am-i").click()
    field.note(note="W" * 300, sign="galls")
    field.page.locator("#card").get_by_role("button", name="Write a note").click()
    page.screenshot(path=str(tmp_path / "phone-note.png"))
    assert page.evaluate("document.documentElement.scrollWidth") == PHONE["width"]
    small = """nodes => nodes.filter((node) => node.getClientRects().length).map((node) => [node.id || node.textContent, (node.closest('label.check') || node).getBoundingClientRect()])
      .filter(([, box]) => box.width < 44 || box.height < 44).map(([name, box]) => `${name} ${box.width} x ${box.height}`)"""
    assert (
        page.eval_on_selector_all(
            "#panel-field :is(button, input, select, textarea), .map-bars button", small
        )
        == []
    )
    tiny = """nodes => nodes.filter((node) => node.getClientRects().length && parseFloat(getComputedStyle(node).fontSize) < 14).length"""
    assert page.eval_on_selector_all("#panel-field *, .map-bars *", tiny) == 0
    page.locator("#measure").tap()
    bar, frame = (page.locator(one).bounding_box() for one in (".map-bar.is-doing:not([hidden])", ".map"))
    assert bar is not None
    assert frame is not None
    assert bar["height"] < frame["height"] / 2
    expect(page.locator(".map-bar:not(.is-doing)")).to_be_hidden()
    field.assert_quiet()
