"""The Field tab does not mislead a crew, hides none of its buttons, and loses no note."""

import json
import re
from collections.abc import Callable, Iterator
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from geographiclib.geodesic import Geodesic
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect

from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map import write_map
from geo_scout.outputs.tables import build_tables

pytestmark = [pytest.mark.browser, pytest.mark.slow]

HERE = {"latitude": 46.0203, "longitude": -117.0417, "accuracy": 12}
NOTE = {"visit_id": "note-1", "site_id": "S", "site_name": "Old", "result": "found", "date": "2026-05-01"}


@pytest.fixture(scope="module")
def map_file(season: SeasonResult, tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("safety") / "map.html"
    write_map(path, season, build_tables(season, "crew"), "crew")
    return path


@pytest.fixture(scope="module")
def place(map_file: Path) -> str:
    """Return what every key of this map begins with on the device."""
    found = re.search(r'"dataset": ?"([0-9a-f]+)"', map_file.read_text(encoding="utf-8"))
    assert found
    return f"geo_scout:{found[1]}:"


Opener = Callable[..., Page]


@pytest.fixture
def open_map(browser: Browser, map_file: Path) -> Iterator[Opener]:
    contexts: list[BrowserContext] = []
    wrong: list[str] = []

    def opened(width: int = 1280, height: int = 800, stored: dict[str, str] | None = None) -> Page:
        is_phone = width < 760
        context = browser.new_context(
            offline=True,
            viewport={"width": width, "height": height},
            is_mobile=is_phone,
            has_touch=is_phone,
            permissions=["geolocation"],
            geolocation=HERE,
        )
        contexts.append(context)
        page = context.new_page()
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.goto(map_file.as_uri())
        if stored is not None:
            put = "items => { for (const [key, text] of Object.entries(items)) localStorage.setItem(key, text); }"
            page.evaluate(put, stored)
            page.reload()
        page.wait_for_selector("html[data-ready]")
        return page

    yield opened
    for context in contexts:
        context.close()
    assert wrong == []


def _tab(page: Page) -> Locator:
    page.locator("#tab-field").click()
    return page.locator("#panel-field")


def _write_note(page: Page, text: str) -> None:
    page.locator("#tab-sites").click()
    page.locator("#sites .site-row").first.click()
    page.locator("#card").get_by_role("button", name="Write a note").click()
    page.get_by_label("Found", exact=True).check()
    page.locator("#note-note").fill(text)
    page.get_by_role("button", name="Keep this note").click()


def _stored(page: Page) -> dict[str, str]:
    return dict(page.evaluate("Object.entries(localStorage)"))


# ---- nothing on the map hides something else

BOXES = """() => [...document.querySelectorAll('.map-tools > *, .map-bar, .leaflet-control-scale, .leaflet-control-zoom')]
  .filter((node) => node.getClientRects().length > 0)
  .map((node) => { const box = node.getBoundingClientRect(); return [node.id || node.className || node.textContent, box.left, box.top, box.right, box.bottom]; })"""


def _assert_apart(page: Page) -> None:
    for (one, *a), (other, *b) in combinations(page.evaluate(BOXES), 2):
        is_apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        assert is_apart, f"{one} {a} and {other} {b}"


@pytest.mark.parametrize(
    ("width", "height"), [(320, 740), (375, 740), (390, 844), (412, 915), (768, 1024), (1280, 800)]
)
def test_tools_boxes_and_scale_stand_apart(open_map: Opener, width: int, height: int) -> None:
    page = open_map(width, height)
    page.locator(".map").scroll_into_view_if_needed()
    _assert_apart(page)
    page.locator("#where-am-i").click()
    expect(page.locator(".map-bar [data-nearest]")).to_be_visible()
    page.wait_for_timeout(100)  # the scale follows the box one frame later
    _assert_apart(page)
    page.locator("#measure").click()
    bar = page.get_by_role("group", name="Measure")
    for _ in range(2):
        bar.get_by_role("button", name="Add middle").click()
        page.evaluate("map_season.panBy([60, 20], { animate: false })")
    page.wait_for_timeout(100)
    _assert_apart(page)
    for name in ("Add middle", "Undo last point", "End"):
        bar.get_by_role("button", name=name).click(trial=True, timeout=2_000)


# ---- nearest sites


def test_the_nearest_ranked_site_comes_before_nearer_ground_that_is_left_out(
    open_map: Opener, season: SeasonResult
) -> None:
    table = build_tables(season, "crew")["release"]
    sites = table[table["agent"] == season.season.agents[0].name].set_index("site_id")
    out = sites[sites["status"] == "left out"]
    assert len(out) > 0
    stands = out.iloc[0]
    page = open_map()
    page.context.set_geolocation(
        {"latitude": stands["latitude_deg"], "longitude": stands["longitude_deg"] + 0.02, "accuracy": 5}
    )
    page.locator("#where-am-i").click()
    here = (stands["latitude_deg"], stands["longitude_deg"] + 0.02)
    away_m = {
        site_id: Geodesic.WGS84.Inverse(*here, row["latitude_deg"], row["longitude_deg"])["s12"]
        for site_id, row in sites.iterrows()
    }
    near = sorted(away_m, key=lambda one: away_m[one])
    ranked = [one for one in near if sites["status"][one] == "ranked"][:5]
    nearer = [one for one in near if one in out.index and away_m[one] < away_m[ranked[-1]]][:5]
    assert out.index[0] in nearer
    box = page.locator(".map-bar .nearest-line")
    expect(box).to_contain_text("Nearest ranked site")
    assert box.locator("[data-nearest]").get_attribute("data-nearest") == ranked[0]
    for text in (f"Rank {sites['rank'][ranked[0]]:.0f}: ", ranked[0], "to its middle"):
        expect(box).to_contain_text(text)
    tab = _tab(page)
    ids = "all => all.map((one) => one.dataset.nearest)"
    assert tab.locator(".nearest-list [data-nearest]").evaluate_all(ids) == ranked + nearer
    left = tab.get_by_role("list", name="Left out").locator("[data-nearest]")
    for site_id, text in zip(nearer, left.all_inner_texts(), strict=True):
        assert text.startswith("Left out: ")
        assert site_id in text
        assert "to its middle" in text or "you are in this patch" in text


def test_where_no_ranked_site_is_shown_the_box_says_so(open_map: Opener) -> None:
    page = open_map()
    page.locator("#filters summary").click()
    page.locator("#filters select", has_text="Left out only").select_option(label="Left out only")
    page.locator("#where-am-i").click()
    expect(page.locator(".map-bar .nearest-line")).to_have_text("No ranked site is shown.")
    expect(_tab(page).get_by_role("list", name="Left out").locator("li").first).to_contain_text("Left out: ")


# ---- notes that cannot be read


CUT = '[{"visit_id":"note-1","site_id":"AMB-001","result":"fou'


@pytest.mark.parametrize("damaged", [CUT, '{"notes": []}', "7"], ids=["cut", "no list", "number"])
def test_notes_that_cannot_be_read_are_put_aside_and_told(open_map: Opener, place: str, damaged: str) -> None:
    earlier = "put aside before"
    page = open_map(stored={f"{place}notes": damaged, f"{place}notes_unread_1": earlier})
    tab = _tab(page)
    expect(tab.locator(".trouble")).to_contain_text(["", "Notes are stored here that this page cannot read"])
    expect(tab).not_to_contain_text("No notes on this device")
    _write_note(page, "written after")
    expect(tab.locator(".notes > li")).to_have_count(1)
    page.reload()
    page.wait_for_selector("html[data-ready]")
    stored = _stored(page)
    assert stored[f"{place}notes_unread_1"] == earlier
    assert stored[f"{place}notes_unread_2"] == damaged
    assert f"{place}notes_unread_3" not in stored
    assert [note["note"] for note in json.loads(stored[f"{place}notes"])] == ["written after"]
    tab = _tab(page)
    expect(tab.locator(".trouble")).to_contain_text(["", "Notes are stored here that this page cannot read"])
    for number, text in ((1, earlier), (2, damaged)):
        with page.expect_download() as waiting:
            tab.get_by_role("button", name=f"part {number} of 2").click()
        assert Path(waiting.value.path()).read_text(encoding="utf-8") == text


def test_damage_done_while_the_page_is_open_is_put_aside_too(open_map: Opener, place: str) -> None:
    page = open_map()
    page.evaluate("([key, text]) => localStorage.setItem(key, text)", [f"{place}notes", CUT])
    _write_note(page, "after")
    assert _stored(page)[f"{place}notes_unread_1"] == CUT


def test_without_room_to_put_aside_the_damaged_notes_stay_where_they_are(
    open_map: Opener, place: str
) -> None:
    page = open_map()
    page.evaluate("([key, text]) => localStorage.setItem(key, text)", [f"{place}notes", CUT])
    full = """() => { const set = Storage.prototype.setItem;
      Storage.prototype.setItem = function (key, text) { if (key.includes('unread')) throw new DOMException('full', 'QuotaExceededError'); set.call(this, key, text); }; }"""
    page.evaluate(full)
    _write_note(page, "held")
    assert _stored(page)[f"{place}notes"] == CUT
    tab = _tab(page)
    expect(tab.locator(".notes > li")).to_contain_text("held")
    expect(tab).to_contain_text("there is no room to put them aside")
    expect(tab).to_contain_text("Notes are not kept on this device")


def test_items_that_the_page_does_not_know_survive_changes(open_map: Opener, place: str) -> None:
    unknown: list[Any] = [None, 7, "x", {"visit_id": "a"}, {"kind": "photo", "of": [1, {"b": None}]}]
    known = {**NOTE, "later": {"camera": 2}}
    page = open_map(stored={f"{place}notes": json.dumps([*unknown[:2], known, *unknown[2:]])})
    tab = _tab(page)
    expect(tab).to_contain_text("5 things stored among the notes here cannot be read")
    _write_note(page, "new")
    old = tab.locator(".notes > li", has_text="Old")
    after = json.loads(_stored(page)[f"{place}notes"])
    assert after[:-1] == [*unknown[:2], known, *unknown[2:]]
    old.get_by_role("button", name="Change").click()
    page.locator("#note-note").fill("changed")
    page.get_by_role("button", name="Keep this note").click()
    changed = json.loads(_stored(page)[f"{place}notes"])[2]
    assert (changed["note"], changed["later"]) == ("changed", {"camera": 2})
    old.get_by_role("button", name="Delete").click()
    left = json.loads(_stored(page)[f"{place}notes"])
    assert left[:-1] == unknown
    tab.get_by_role("button", name="Undo", exact=True).click()
    assert json.loads(_stored(page)[f"{place}notes"])[-1]["later"] == {"camera": 2}
    with page.expect_download() as waiting:
        tab.get_by_role("button", name="Save what cannot be read").click()
    assert json.loads(Path(waiting.value.path()).read_text(encoding="utf-8")) == unknown


# ---- figures and words


@pytest.mark.parametrize(
    ("bearing_deg", "told"),
    [(0, "0° N"), (11, "11° N"), (12, "12° NNE"), (200, "200° SSW"), (247.4, "247° WSW"), (359.7, "0° N")],
)
def test_bearings_have_the_nearest_of_sixteen_names(open_map: Opener, bearing_deg: float, told: str) -> None:
    assert open_map().evaluate("deg => seasonMap.howFar.bearing(deg)", bearing_deg) == told


def test_lengths_are_shown_within_a_thousandth(open_map: Opener) -> None:
    page = open_map()
    for length_m in (
        0.62,
        1.2345,
        9.9996,
        10.049,
        104.49,
        999.96,
        1049.4,
        9999.6,
        12_345,
        104_449,
        1_234_567,
        2e7,
    ):
        text = str(page.evaluate("m => seasonMap.howFar.distance(m)", length_m))
        figure, unit = text.replace(",", "").split("\u00a0")
        assert float(figure) * {"m": 1, "km": 1000}[unit] == pytest.approx(length_m, rel=0.001), text
    assert page.evaluate("seasonMap.howFar.distance(0)") == "0\u00a0m"


def test_saved_visits_are_to_be_added_never_put_in_the_registers_place(open_map: Opener) -> None:
    tab = _tab(open_map())
    expect(tab).to_contain_text("Add the rows of a saved file of visits to the season’s register of visits")
    expect(tab).to_contain_text("Never put it in the register’s place")
    expect(tab).not_to_contain_text("is read by the season when it is named as the path")


@pytest.mark.parametrize(("width", "height"), [(375, 740), (1280, 800)])
def test_the_field_tab_begins_with_what_comes_first(open_map: Opener, width: int, height: int) -> None:
    page = open_map(width, height)
    tab = _tab(page)
    expect(tab.locator("p").first).to_contain_text("permission, heat and terrain, sprays, clean gear")
    part = page.locator("#notices details")
    expect(part).not_to_have_attribute("open", "")
    tab.get_by_role("button", name="Before anyone goes out").click()
    expect(part).to_have_attribute("open", "")
    expect(part.locator("summary")).to_be_focused()
    first = part.locator("li").first
    expect(first).to_be_in_viewport()
    box = first.bounding_box()
    assert box is not None
    at_top = page.evaluate(
        "([x, y]) => document.elementFromPoint(x, y).closest('#notices') !== null",
        [box["x"] + 20, box["y"] + 8],
    )
    assert at_top
