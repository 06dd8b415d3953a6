import pytest

from geo_scout.model.finding import Finding
from geo_scout.model.problem import Problem
from geo_scout.outputs.option_words import as_options, told_as_options

PATHS = {"weather": "maps/ford.csv", "catches": "catches.csv"}


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ('If so, add: units = {temperature = "kelvin"}', "If so, add: --temperature kelvin"),
        (
            "Name one of them: columns = {tmin = \"T MIN\"} Did you mean 'x'?",
            "Name one of them: --column tmin=\"T MIN\" Did you mean 'x'?",
        ),
        (
            "say how long a gap may be filled: fill_gaps_days = 3",
            "say how long a gap may be filled: --fill-gaps-days 3",
        ),
        (
            "Write it like 2026-05-31, or state date_format.",
            "Write it like 2026-05-31, or state --date-format.",
        ),
        ('Add it: period = "1991-2020"', "Add it: --period 1991-2020"),
        ('for instance: encoding = "cp1252"', "for instance: --encoding cp1252"),
        ("To be sure of it, add: decimal_comma = true", "To be sure of it, add: --decimal-comma"),
        ("Check the years, or `as_of` under [season].", "Check the years, or --on."),
        ("there is no file 'x' in the season file's folder.", "there is no file 'x' in the working folder."),
        ("Give one of them as `layer`.", "Give one of them with --sheet."),
        ('Give the sheet\'s name: layer = "June 2026"', 'Give the sheet\'s name: --sheet "June 2026"'),
        ("nothing of a season here", "nothing of a season here"),
    ],
)
def test_what_a_season_would_say_is_an_option(said, told):
    assert as_options(said) == told


def test_a_finding_about_the_table_names_the_table():
    finding = Finding("column-missing", "stop", "weather", "", "no column.", 'add columns = {tmin = "x"}')
    assert (
        told_as_options(finding, PATHS).text()
        == "stop: maps/ford.csv\n  no column.\n  Fix: add --column tmin=x"
    )


def test_the_columns_of_catches_have_options_of_their_own():
    finding = Finding(
        "column-missing", "stop", "catches", "", "no.", 'columns = {date = "Day"}, or state date_format.'
    )
    assert (
        told_as_options(finding, PATHS)
        .text()
        .endswith("Fix: --column catches.date=Day, or state --catches-date-format.")
    )


def test_other_mistakes_stay_as_they_are():
    problem = Problem("timing-heat", "p.toml", 3, "timing", "what.", "date_format")
    assert told_as_options(problem, PATHS) is problem
    elsewhere = Finding("x", "stop", "roads", "", "what.", "date_format")
    assert told_as_options(elsewhere, PATHS) is elsewhere
