import datetime as dt
import itertools
import re
import xml.etree.ElementTree as ET

from geo_scout.outputs.svg_marks import MARGIN, WIDTH
from geo_scout.outputs.timelines_picture import Sight, Timeline, TimelineGroup, timelines_svg

SVG = "{http://www.w3.org/2000/svg}"
AS_OF = dt.date(2025, 12, 31)


def day(text):
    return dt.date.fromisoformat(text)


def timeline(*sights, released="2020-01-01", label="R1 A-1", verdict="likely, 70 %"):
    return Timeline(label, day(released), verdict, tuple(sights))


def drawn(*groups, note=""):
    return ET.fromstring(timelines_svg("Valley", list(groups), AS_OF, note))


def group(*timelines, questions=()):
    return TimelineGroup("beetle, Orrin", tuple(timelines), tuple(questions))


def texts(svg):
    return [one.text for one in svg.iter(f"{SVG}text")]


def legend(svg):
    return [one.text for one in svg.find(f"{SVG}g").iter(f"{SVG}text")]


def at(days):
    """Return how far right a day lies after 1 January 2020, where the axis ends after six years."""
    left, right = MARGIN + 6, WIDTH - MARGIN - 6
    return left + days / 2191 * (right - left)  # 366 + 365 x 3 + 366 + 364


def circles(svg):
    """Return middle, radius and fill of the circles above the legend."""
    return [
        (float(one.get("cx")), float(one.get("r")), one.get("fill")) for one in svg.findall(f"{SVG}circle")
    ]


def test_a_find_is_a_filled_circle_and_what_was_not_found_an_open_one_on_their_days():
    svg = drawn(group(timeline(Sight(day("2021-01-01"), "found"), Sight(day("2025-12-31"), "not found"))))
    (found, _, filled), (missed, _, hollow) = circles(svg)
    assert abs(found - at(366)) < 0.06
    assert abs(missed - at(2191)) < 0.06
    assert filled == "#0072B2"
    assert hollow == "#ffffff"


def test_a_visit_to_another_release_there_is_smaller():
    own, other = Sight(day("2021-01-01"), "found"), Sight(day("2022-01-01"), "found", is_own=False)
    (_, small, _), (_, large, _) = circles(drawn(group(timeline(own, other))))
    assert (large, small) == (5.0, 3.0)


def test_after_a_loss_the_line_is_dashed():
    svg = drawn(group(timeline(Sight(day("2023-01-01"), "lost"))))
    lines = [one for one in svg.findall(f"{SVG}path") if one.get("stroke") == "#444444"]
    solid, dashed = (one for one in lines)
    assert dashed.get("stroke-dasharray")
    assert not solid.get("stroke-dasharray")
    assert f"H{at(1096):.1f}" in solid.get("d")
    assert dashed.get("d").startswith(f"M{at(1096):.1f} ")
    [line] = [one for one in drawn(group(timeline())).findall(f"{SVG}path") if one.get("stroke") == "#444444"]
    assert not line.get("stroke-dasharray")


def test_the_legend_explains_what_is_drawn_and_nothing_else():
    assert legend(drawn(group(timeline()))) == ["release"]
    seen = ("found", "not found", "says nothing", "lost")
    sights = [Sight(day("2021-01-01"), one) for one in seen]
    words = ["release", "found", "not found", "visit that says nothing", "destroyed"]
    assert legend(drawn(group(timeline(*sights)))) == words
    other = Sight(day("2021-01-01"), "found", is_own=False)
    assert legend(drawn(group(timeline(other))))[-1] == "smaller: visit to another release there"


def test_a_group_with_an_open_question_shows_all_of_it():
    question = "STOP AND ASK: beetle: the legal status in Orrin is unknown. Ask the plant health bench there."
    svg = drawn(group(timeline(), questions=(question,)), group(timeline()))
    said = [one for one in texts(svg) if one and one in question]
    assert " ".join(said) == question
    assert legend(svg)[0] == "ask the authority before anything moves"
    _, _, _, height = (float(one) for one in svg.get("viewBox").split())
    assert max(float(one.get("y")) for one in svg.iter(f"{SVG}text")) < height


def test_each_release_says_its_state_and_chance_at_the_right_edge():
    svg = drawn(group(timeline(verdict="possible, 46 % (16 to 79 %)")))
    [verdict] = [one for one in svg.iter(f"{SVG}text") if one.text == "possible, 46 % (16 to 79 %)"]
    assert verdict.get("text-anchor") == "end"
    assert float(verdict.get("x")) == WIDTH - MARGIN


def test_a_long_verdict_leaves_its_label_the_room_that_is_left():
    long = "confirmed 2026, >99 % (>99 to 100 %)"
    said = texts(drawn(group(timeline(label="R2016-04 ASHT-Q0053", verdict=long))))
    assert "R2016-04 ASHT-Q0053" in said
    cut = texts(drawn(group(timeline(label="RELEASE-2016-0004 ASHT-Q0053.2", verdict=long))))
    assert any((one or "").startswith("RELEASE-2016-0004") and one.endswith("…") for one in cut)


def test_years_that_have_no_room_are_not_named():
    svg = drawn(group(timeline(released="1985-06-01")))
    years = [one for one in svg.iter(f"{SVG}text") if re.fullmatch(r"\d{4}", one.text or "")]
    places = sorted(float(one.get("x")) for one in years)
    assert len(years) >= 5
    assert min(b - a for a, b in itertools.pairwise(places)) >= 30


def test_no_release_at_all_is_said():
    assert "No release is on record." in texts(drawn())


def test_what_is_not_drawn_is_said_and_the_day_of_the_season_is_the_only_clock():
    svg = drawn(group(timeline()), note="Not drawn: 3 older releases; the tables hold them.")
    assert "Not drawn: 3 older releases; the tables hold them." in texts(svg)
    assert any("2025-12-31" in (one or "") for one in texts(svg))


def test_long_and_hostile_text_is_cut_and_escaped():
    hostile = "R1 " + "<script>" * 20 + "\x00"
    text = timelines_svg('"Valley" & <b>', [TimelineGroup(hostile, (timeline(label=hostile),))], AS_OF)
    svg = ET.fromstring(text)
    assert "<script>" not in text
    assert max(len(one or "") for one in texts(svg)) <= 60


def test_the_picture_holds_nothing_from_outside_and_is_the_same_each_time():
    text = timelines_svg("Valley", [group(timeline())], AS_OF)
    assert re.findall(r"https?://[^\"]+", text) == ["http://www.w3.org/2000/svg"]
    assert text == timelines_svg("Valley", [group(timeline())], AS_OF)
