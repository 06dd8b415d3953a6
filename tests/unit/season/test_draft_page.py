from geo_scout.season.draft_page import Numbering, Page, fill_in


def test_questions_are_numbered_over_all_pages_and_know_their_place() -> None:
    numbering = Numbering()
    first, second = Page("season.toml", numbering), Page("agents/a.toml", numbering)
    first.add("format = 1")
    first.open("[layers.visits]")
    first.ask("Day first?", ['date_format = "?"'], fill_in(["%d", "%m"]), is_needed=True, stand_ins=())
    second.ask("How many?", ["# number = N"], "write it", is_needed=False, stand_ins=["number = 1"])
    one, two = numbering.questions
    assert (one.number, one.file, one.place, one.need) == (1, "season.toml", "[layers.visits]", "needed")
    assert (two.number, two.file, two.place, two.need) == (2, "agents/a.toml", "at the top", "may stay open")
    for page, question in ((first, one), (second, two)):
        assert tuple(page.text().splitlines()[question.line - 1 :][: len(question.lines)]) == question.lines
    assert one.answer == "write %d or %m for the ?"


def test_the_text_and_its_stand_in_are_these() -> None:
    page = Page("season.toml", Numbering())
    page.add("format = 1")
    page.ask("Right?", ["crs = 1"], "leave it so", is_needed=False)
    page.ask("How many?", ["# number = N"], "write it", is_needed=True, stand_ins=["number = 1"])
    assert page.text() == (
        "format = 1\n"
        "# Question 1 (to confirm): Right?\n"
        "crs = 1                                   # question 1\n"
        "# Question 2 (needed): How many?\n"
        "# number = N                              # question 2\n"
    )
    assert page.stand_in_text() == "format = 1\ncrs = 1\nnumber = 1\n"


def test_a_hostile_question_stays_a_comment() -> None:
    page = Page("season.toml", Numbering())
    page.ask("What\nis = 'this'\u202e?", ["a = 1"], "x", is_needed=True)
    assert page.text().splitlines() == [
        "# Question 1 (needed): What\\u000ais = 'this'\\u202e?",
        "a = 1                                     # question 1",
    ]
