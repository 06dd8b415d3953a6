import tomllib

from geo_scout.model.agent import AgentProfile
from geo_scout.model.draft import NameGuess
from geo_scout.season.draft_page import Numbering, Page
from geo_scout.season.draft_profile import profile_files, write_profile_page

WEEVIL = NameGuess('bronze "weevil"', 12, "ashthorn", "it is the only weed in the files")
HOSTS = [NameGuess("ashthorn", 9), NameGuess("brindlebell", 4)]
LAW = [NameGuess("Harrowmere", 2)]


def page_of(agent, hosts=HOSTS, law=LAW):
    page = Page("agents/a.toml", Numbering())
    write_profile_page(page, agent, hosts, law)
    return page


def test_only_the_name_and_the_guessed_host_are_stated():
    assert tomllib.loads(page_of(WEEVIL).text()) == {
        "format": 1,
        "name": 'bronze "weevil"',
        "host": "ashthorn",
    }


def test_no_biology_is_made_up_and_the_needed_one_is_asked():
    questions = page_of(WEEVIL).numbering.questions
    assert [question.need for question in questions] == [
        "to confirm",
        "needed",
        *(["may stay open"] * 4),
    ]
    assert questions[1].lines == (
        '# establishment.prior_share = {value = N, source = "SOURCE"}  # question 2',
    )
    numbers = [line for question in questions for line in question.lines if "= N" in line or "{value" in line]
    assert len(numbers) == 16
    assert all(line.startswith("# ") and "1" not in line.split("#")[1] for line in numbers)


def test_every_line_that_is_taken_out_of_its_comment_is_a_key_of_the_profile():
    page = page_of(WEEVIL)
    answered = [line[2:] if line.startswith("# ") and "# question" in line else line for line in page.lines]
    text = (
        "\n".join(answered)
        .replace("= N", "= 1")
        .replace('"?"', '"permit"')
        .replace("YYYY-MM-DD", "2026-05-01")
    )
    profile = AgentProfile.model_validate(tomllib.loads(text))
    assert profile.establishment.prior_share.value == 1.0
    assert profile.spread.km_per_yr is not None
    assert profile.spread.largest_gap_km is not None
    assert profile.release.number_per_release is not None
    assert profile.establishment.persistence_share.value == 1.0
    assert [key for key, value in profile.collecting if value is None] == []
    assert profile.signs[0].methods == ("METHOD",)
    assert profile.signs[0].found_share.low_best_high == (1.0, 1.0, 1.0)
    assert profile.legal_status[0].jurisdiction == "Harrowmere"


def test_an_unknown_host_is_asked_with_the_weeds_of_the_files():
    question = page_of(NameGuess("weevil", 3)).numbering.questions[0]
    assert (question.need, question.answer) == (
        "needed",
        "take the # away and write ashthorn or brindlebell for WEED",
    )


def test_without_any_agent_the_name_is_asked_too():
    questions = page_of(None, hosts=[], law=[]).numbering.questions
    assert [question.need for question in questions[:3]] == ["needed"] * 3
    # A blank name is no key at all, because any text would pass for a name.
    assert tomllib.loads(page_of(None).text()) == {"format": 1}


def test_stand_ins_make_a_profile_that_can_be_read():
    for agent, hosts in ((WEEVIL, HOSTS), (None, [])):
        page = page_of(agent, hosts=hosts)
        assert AgentProfile.model_validate(tomllib.loads(page.stand_in_text()))


def test_file_names_are_legal_on_every_system():
    agents = [NameGuess(name, 1) for name in ("CON", "a/b\\c:d", "Käfer", "kafer", "漢字", "x" * 200)]
    assert profile_files(agents) == [
        "agents/agent_con.toml",
        "agents/a_b_c_d.toml",
        "agents/kafer.toml",
        "agents/kafer_2.toml",
        "agents/agent.toml",
        f"agents/{'x' * 60}.toml",
    ]


def test_names_that_may_be_one_agent_are_asked_about_in_the_one_profile():
    weevil = NameGuess("stem weevil", 40, alike=(("stem-weevil", 3), ("stem weevill", 1)))
    page = page_of(weevil)
    [question] = [one for one in page.numbering.questions if "one agent" in one.text]
    assert tomllib.loads(page.text())["name"] == "stem weevil"
    assert (question.need, question.lines) == (
        "to confirm",
        ('name = "stem weevil"                      # question 1',),
    )
    assert question.text == (
        "Are these one agent, and which spelling is right: 'stem weevil' (40 rows), 'stem-weevil' (3 rows) and "
        "'stem weevill' (1 row)? This profile was drafted for the commonest; rows under another name are not used."
    )
    assert question.answer == (
        "if they are one, leave the right spelling here and write it for the others in your files; if not, copy "
        "this profile for each other agent, with its own name, and add the copy to [season] agents"
    )
