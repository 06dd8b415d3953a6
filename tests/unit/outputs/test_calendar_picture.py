import datetime as dt
import itertools
import re
import xml.etree.ElementTree as ET

from geo_scout.outputs.calendar_picture import Row, calendar_svg
from geo_scout.outputs.svg_marks import MARGIN, WIDTH

SVG = "{http://www.w3.org/2000/svg}"


def day(text):
    return dt.date.fromisoformat(text)


def row(scout="2027-06-01", opens="2027-06-11", peaks="2027-06-21", closes="2027-06-30", **changes):
    dates = [None if one is None else day(one) for one in (scout, opens, peaks, closes)]
    return Row("A-1", "beetle", *dates, **changes)


def drawn(*rows):
    return ET.fromstring(calendar_svg("Valley", list(rows)))


def bars(svg):
    """Return left and right end of the bars above the legend."""
    # The legend is a group of its own, so what lies in no group is a source's.
    found = [one for one in svg.findall(f"{SVG}rect") if one.get("height") == "10"]
    return [
        (float(one.get("x")), float(one.get("x")) + float(one.get("width")), one.get("fill")) for one in found
    ]


def legend(svg):
    """Return the words of the legend."""
    return [one.text for one in svg.find(f"{SVG}g").iter(f"{SVG}text")]


def at(days_from_1_june):
    """Return how far right a day lies where the axis is June alone."""
    return MARGIN + days_from_1_june / 30 * (WIDTH - 2 * MARGIN)


def test_a_bar_runs_from_opening_to_closing():
    [(left, right, fill)] = bars(drawn(row()))
    # Left end and width are each written to a tenth.
    assert abs(left - at(10)) < 0.2
    assert abs(right - at(29)) < 0.2
    assert fill == "#0072B2"


def test_an_open_end_has_an_arrow_at_the_last_known_day():
    svg = drawn(row(closes=None))
    [(_, right, _)] = bars(svg)
    assert abs(right - at(20)) < 0.2
    arrows = [one.get("d") for one in svg.iter(f"{SVG}path") if one.get("d", "").endswith("l7 5l-7 5z")]
    assert any(abs(float(arrow[1:].split()[0]) - right) < 0.2 for arrow in arrows)
    closed = [
        one.get("d") for one in drawn(row()).iter(f"{SVG}path") if one.get("d", "").endswith("l7 5l-7 5z")
    ]
    assert len(arrows) == 2, "one at the bar, one in the legend"
    assert closed == []


def test_the_legend_explains_what_is_drawn_and_nothing_else():
    assert legend(drawn(row())) == ["start scouting", "open", "peak"]
    assert legend(drawn(row(scout=None, peaks=None, closes=None))) == ["open", "closing unknown"]
    assert legend(drawn(row(scout=None, peaks=None, is_ranked=False))) == ["open, but left out of the plan"]
    reach = row(opens_early=day("2027-06-08"), opens_late=day("2027-06-16"))
    assert legend(drawn(reach))[-1] == "opens then in 8 years of 10"
    assert legend(drawn(row(None, None, None, None))) == []


def test_a_row_with_an_open_question_carries_a_mark_and_the_words_and_keeps_its_dates():
    question = "STOP AND ASK: the legal status in Harrowmere is unknown."
    svg = drawn(row(question=question), row())
    texts = [one.text for one in svg.iter(f"{SVG}text")]
    told = [one for one in texts if one.startswith("STOP AND ASK: the legal status in Harrowmere")]
    assert len(told) == 1
    assert legend(svg)[0] == "ask the authority before anything moves"
    assert texts.count("scout 1 Jun, opens 11 Jun, peak 21 Jun, closes 30 Jun") == 2
    octagons = [one for one in svg.iter(f"{SVG}path") if one.get("fill") == "#A80000"]
    assert len(octagons) == 2, "one by the row, one in the legend"
    _, _, width, height = (float(one) for one in svg.get("viewBox").split())
    assert max(float(one.get("y")) for one in svg.iter(f"{SVG}text")) < height
    assert width == WIDTH


def test_a_line_stands_at_the_first_of_each_month_and_after_the_last():
    svg = drawn(row(closes="2027-07-20"))
    lines = [one for one in svg.findall(f"{SVG}path") if one.get("stroke") == "#cccccc"]
    # 1 June, 1 July and 1 August: 0, 30 and 61 days of 61.
    width = WIDTH - 2 * MARGIN
    expected = [MARGIN, MARGIN + 30 / 61 * width, MARGIN + width]
    found = [float(one.get("d")[1:].split()[0]) for one in lines]
    assert all(abs(a - b) < 0.06 for a, b in zip(found, expected, strict=True))


def test_what_is_left_out_is_hollow():
    [(_, _, fill)] = bars(drawn(row(is_ranked=False)))
    assert fill == "#ffffff"


def test_early_and_late_openings_are_a_line_with_ends():
    early, late = "2027-06-08", "2027-06-16"
    svg = drawn(row(opens_early=day(early), opens_late=day(late)))
    assert any(
        one.get("d", "").startswith(f"M{at(7):.1f} ") and f"H{at(15):.1f}" in one.get("d")
        for one in svg.iter(f"{SVG}path")
    )
    same = drawn(row(opens_early=day(early), opens_late=day(early)))
    assert not any(f"M{at(7):.1f} " in one.get("d", "") for one in same.iter(f"{SVG}path"))


def test_a_window_across_new_year_names_both_years():
    svg = drawn(row("2026-12-10", "2026-12-20", "2027-01-05", "2027-01-20"))
    texts = [one.text for one in svg.iter(f"{SVG}text")]
    assert "Dec 2026" in texts
    assert "Jan 2027" in texts
    [(left, right, _)] = bars(svg)
    assert left < right


def test_months_of_a_whole_year_do_not_run_into_each_other():
    svg = drawn(row("2027-01-01", "2027-02-01", "2027-06-21", "2027-12-30"))
    months = [
        one for one in svg.iter(f"{SVG}text") if re.fullmatch(r"[A-Z][a-z]{2}( \d{4})?", one.text or "")
    ]
    places = [float(one.get("x")) for one in months]
    assert len(months) == 12
    assert min(b - a for a, b in itertools.pairwise(places)) >= 18


def test_no_date_at_all_draws_no_axis():
    texts = [one.text for one in drawn(row(None, None, None, None, note="window unknown")).iter(f"{SVG}text")]
    assert "window unknown" in texts
    assert not {"Jan", "Jun"} & set(texts)


def test_long_and_hostile_text_is_cut_and_escaped():
    label = "A-1 " + "<script>" * 20 + "\x00"
    text = calendar_svg('"Valley" & <b>', [Row(label, "beetle", None, None, None, None)])
    svg = ET.fromstring(text)
    assert "<script>" not in text
    assert max(len(one.text or "") for one in svg.iter(f"{SVG}text")) <= 60


def test_the_picture_holds_nothing_from_outside():
    text = calendar_svg("Valley", [row()])
    assert re.findall(r"https?://[^\"]+", text) == ["http://www.w3.org/2000/svg"]
    assert 'font-family="sans-serif"' in text
    assert text == calendar_svg("Valley", [row()])
