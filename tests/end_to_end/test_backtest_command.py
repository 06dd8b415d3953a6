"""`geo-scout backtest` as a shell sees it, on the sample season."""

import csv
import re
from collections import Counter

from geo_scout.model.outcomes import REASONS


def test_the_sample_season(geo_scout, sample_season, project_root, tmp_path):
    told = geo_scout("backtest", sample_season, "--outputs", tmp_path / "b", cwd=tmp_path)
    assert (told.returncode, told.stderr) == (0, "")
    readme = (project_root / "README.md").read_text(encoding="utf-8")
    shown = re.search(r"<!-- backtest of the sample -->\n```text\n(.*?)```", readme, re.DOTALL)
    assert shown is not None
    assert [line for line in shown[1].splitlines() if line not in told.stdout.splitlines()] == []
    with (tmp_path / "b" / "backtest.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 60
    assert {row["reason"] for row in rows} <= set(REASONS)
    for agent, number in Counter(row["agent"] for row in rows).items():
        used = [row for row in rows if row["agent"] == agent and row["label"] != "unused"]
        assert f"{agent}: {number} releases, {len(used)} used" in told.stdout
    scored = [row for row in rows if row["score"]]
    assert all(bool(row["site_id"]) == bool(row["score"]) for row in rows)
    assert all(
        0 <= float(row["score_low"]) <= float(row["score"]) <= float(row["score_high"]) <= 1 for row in scored
    )
    # The first releases had no population of the programme to keep away from.
    assert rows[0]["population_distance_km"] == ""
    assert any(row["population_distance_km"] for row in rows)
    text = (tmp_path / "b" / "backtest.txt").read_text(encoding="utf-8")
    assert told.stdout.startswith(text)


def test_where_no_release_can_be_used_it_ends_with_3_and_says_why(geo_scout, tmp_path):
    assert geo_scout("start", "s", cwd=tmp_path).returncode == 0
    told = geo_scout("backtest", "s/season.toml", "--audience", "public", cwd=tmp_path)
    assert told.returncode == 3
    assert told.stderr == "No release could be used; the reasons are in backtest.csv.\n"
    assert "No conclusion is possible: 0 established and 0 failed" in told.stdout
    assert (tmp_path / "s" / "backtest" / "backtest.svg").is_file()
    # A second one takes its place.
    assert geo_scout("backtest", "s/season.toml", cwd=tmp_path).returncode == 3
