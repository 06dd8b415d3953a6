import re
import xml.etree.ElementTree as ET

import numpy as np

from geo_scout.model.outcome_rates import OutcomeRates
from geo_scout.outputs.district_outcomes_picture import DistrictBlock, districts_svg
from geo_scout.outputs.svg_marks import MARGIN, WIDTH

SVG = "{http://www.w3.org/2000/svg}"
NONE = (np.nan, np.nan, np.nan)


def rates(found=(0.75, 0.53, 0.89), adjusted=(0.9, 0.6, 1.0), bounds=(0.3, 0.9), revisited=20):
    return OutcomeRates("Orrin", 50, 0, revisited, 15, *found, *adjusted, *bounds)


def drawn(*blocks):
    return ET.fromstring(districts_svg("Valley", list(blocks)))


def block(years=None, **changes):
    return DistrictBlock("beetle, Orrin", years or {2020: {"confirmed": 2, "lost": 1}}, rates(**changes))


def boxes(svg):
    """Return fill and width of the boxes above the legend."""
    found = [one for one in svg.findall(f"{SVG}rect") if one.get("height") == "11"]
    return [(one.get("fill"), float(one.get("width"))) for one in found]


def texts(svg):
    return [one.text for one in svg.iter(f"{SVG}text")]


def legend(svg):
    return [one.text for one in svg.find(f"{SVG}g").iter(f"{SVG}text")]


def test_a_bar_is_as_long_as_its_releases_are_many():
    (confirmed, two), (lost, one) = boxes(drawn(block()))
    assert (confirmed, lost) == ("#0072B2", "#000000")
    assert two == 2 * one
    assert "3" in texts(drawn(block()))


def test_a_hundred_releases_of_a_year_still_fit():
    svg = drawn(block({2020: {"likely": 60, "possible": 40}, 2021: {"likely": 1}}))
    assert sum(width for _, width in boxes(svg)[:2]) < WIDTH - 2 * MARGIN
    assert boxes(svg)[2][1] > 0


def test_every_state_has_a_filling_of_its_own_that_is_not_told_by_colour_alone():
    states = ("confirmed", "likely", "possible", "unlikely", "lost", "too early")
    svg = drawn(block({2020: dict.fromkeys(states, 1)}))
    assert len({fill for fill, _ in boxes(svg)}) == 6
    patterns = {one.get("id") for one in svg.iter(f"{SVG}pattern")}
    assert {f"url(#{name})" for name in patterns} == {
        fill for fill, _ in boxes(svg) if fill.startswith("url")
    }
    assert legend(svg) == ["confirmed", "likely", "possible", "unlikely", "lost", "too early to say"]


def test_the_legend_explains_what_is_drawn_and_nothing_else():
    assert legend(drawn(block())) == ["confirmed", "lost"]


def test_three_rates_are_numbers_and_lines_on_one_scale():
    svg = drawn(block())
    said = texts(svg)
    assert "75 % (53 to 89 %)" in said
    assert "90 % (60 to 100 %)" in said
    assert "30 to 90 %" in said
    left, right = 200, WIDTH - MARGIN
    lines = [one.get("d") for one in svg.findall(f"{SVG}path") if one.get("stroke-width") == "4"]
    ends = [[float(part) for part in re.findall(r"M([\d.]+) \S+H([\d.]+)", line)[0]] for line in lines]
    expected = [(0.53, 0.89), (0.6, 1.0), (0.3, 0.9)]
    for (first, last), (low, high) in zip(ends, expected, strict=True):
        assert abs(first - (left + low * (right - left))) < 0.06
        assert abs(last - (left + high * (right - left))) < 0.06
    diamonds = [one for one in svg.findall(f"{SVG}path") if one.get("d", "").endswith("l4 -4l4 4l-4 4z")]
    assert len(diamonds) == 2  # bounds have no best value


def test_what_is_not_known_is_said_and_has_no_line():
    svg = drawn(block(found=NONE, adjusted=NONE, revisited=0))
    assert texts(svg).count("not known") == 2
    assert len([one for one in svg.findall(f"{SVG}path") if one.get("stroke-width") == "4"]) == 1
    assert "nan" not in districts_svg("Valley", [block(found=NONE, adjusted=NONE)])


def test_no_release_at_all_is_said():
    assert "No release is on record." in texts(drawn())


def test_hostile_text_is_escaped_and_nothing_comes_from_outside():
    hostile = DistrictBlock("<script>" * 20 + "\x00", {2020: {"lost": 1}}, rates())
    text = districts_svg("<b>", [hostile])
    assert "<script>" not in text
    ET.fromstring(text)
    assert re.findall(r"https?://[^\"]+", text) == ["http://www.w3.org/2000/svg"]
