import csv
import xml.etree.ElementTree as ET

import pandas as pd

from geo_scout.outputs.calendar import build_calendar, write_calendar

SVG = "{http://www.w3.org/2000/svg}"


def source(site, rank=1, opens="2027-06-10", **changes):
    row = {
        "agent": "beetle", "site_id": site, "name": "", "rank": rank, "status": "ranked", "exclusion_codes": "",
        "window_kind": "degree-days", "window_scout": "2027-05-27", "window_opens": opens,
        "window_peaks": "2027-06-20", "window_closes": "2027-07-05", "window_opens_early": "",
        "window_opens_late": "", "window_basis": "weather", "window_note": "", "stop_and_ask": "",
        "score": 0.5,
    }  # fmt: skip
    return {**row, **changes}


def left_out(site, codes, **changes):
    return source(site, rank=pd.NA, status="left out", exclusion_codes=codes, **changes)


def table(*rows):
    return pd.DataFrame(list(rows))


def test_the_first_to_open_comes_first_and_those_without_a_date_last():
    found = build_calendar(
        table(
            source("A", 1, "2027-06-12"),
            source("B", 2, ""),
            source("C", 3, "2027-06-01"),
            source("D", 4, "2027-06-12"),
        )
    )
    assert found["site_id"].tolist() == ["C", "A", "D", "B"]
    assert "score" not in found


def test_sources_with_agents_that_are_left_out_are_shown_and_those_without_are_not():
    found = build_calendar(
        table(
            source("A"),
            left_out("B", "treatment-planned"),
            left_out("C", "agent-not-confirmed; too-small"),
            left_out("D", "legal-forbidden"),
            left_out("E", "too-soon-after-release"),
            left_out("F", "permission-refused; too-small"),
        )
    )
    assert found["site_id"].tolist() == ["A", "B", "F"]
    assert found["exclusion_codes"].tolist() == ["", "treatment-planned", "permission-refused; too-small"]


def test_table_and_picture_say_the_same(tmp_path):
    rows = table(
        source("A", name="Mill <b>bank</b>"),
        left_out("B", "treatment-planned"),
        source("C", 2, "", window_scout="", window_peaks="", window_closes="", window_kind="host stage"),
        source(
            "D",
            3,
            "",
            window_scout="",
            window_peaks="",
            window_closes="",
            window_note="does not open: too cold",
        ),
    )
    write_calendar(tmp_path, rows, "Valley 2027")
    with (tmp_path / "calendar.csv").open(encoding="utf-8-sig", newline="") as stream:
        assert [row["site_id"] for row in csv.DictReader(stream)] == ["A", "B", "C", "D"]
    texts = [one.text for one in ET.parse(tmp_path / "calendar.svg").iter(f"{SVG}text")]
    assert "A Mill <b>bank</b>, beetle" in texts
    assert "scout 27 May, opens 10 Jun, peak 20 Jun, closes 5 Jul" in texts
    assert "left out: treatment-planned; opens 10 Jun, closes 5 Jul" in texts
    assert "no dates: look for the stage of the host" in texts
    assert "does not open: too cold" in texts


def test_the_open_question_stands_in_table_and_picture(tmp_path):
    question = "STOP AND ASK: the legal status in Pell is unknown."
    write_calendar(tmp_path, table(source("A", stop_and_ask=question), source("B")), "Valley 2027")
    with (tmp_path / "calendar.csv").open(encoding="utf-8-sig", newline="") as stream:
        assert [row["stop_and_ask"] for row in csv.DictReader(stream)] == [question, ""]
    assert (tmp_path / "calendar.svg").read_text(encoding="utf-8").count(question) == 1


def test_no_source_at_all_is_said(tmp_path):
    write_calendar(tmp_path, table(left_out("C", "agent-not-confirmed")), "Valley 2027")
    assert "No source is ranked." in (tmp_path / "calendar.svg").read_text(encoding="utf-8")
