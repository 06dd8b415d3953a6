"""The text of a drafted agent profile: what the files tell, and questions for everything else."""

import re
import unicodedata
from collections.abc import Iterable, Sequence

from geo_scout.model.draft import NameGuess
from geo_scout.season.draft_page import Page, blank
from geo_scout.season.toml_text import toml_text
from geo_scout.season.wording import listed

_JURISDICTIONS_AT_MOST, _HOSTS_SHOWN, _NAMES_SHOWN = 12, 20, 12
_RESERVED = re.compile(r"(con|prn|aux|nul|com[0-9]|lpt[0-9])")
_LONGEST_NAME = 60
_TAKE_WHERE_KNOWN = (
    "take the # away where you know a value, write it for N and where it comes from for SOURCE"
)
# Only so that the layers can be looked at before anybody has answered; it reaches no ranking.
_PRIOR_STAND_IN = "establishment.prior_share = 0.5"


def profile_files(agents: Iterable[NameGuess]) -> list[str]:
    """Return a path for each agent's profile: plain letters, legal on every system, none twice.

    Examples
    --------
    >>> profile_files([NameGuess("Käfer / beetle", 3), NameGuess("kafer beetle", 1), NameGuess("?", 1)])
    ['agents/kafer_beetle.toml', 'agents/kafer_beetle_2.toml', 'agents/agent.toml']
    """
    taken: list[str] = []
    for agent in agents:
        plain = unicodedata.normalize("NFKD", agent.name).encode("ascii", "ignore").decode("ascii")
        stem = "_".join(re.findall(r"[a-z0-9]+", plain.casefold()))[:_LONGEST_NAME] or "agent"
        stem = f"agent_{stem}" if _RESERVED.fullmatch(stem) else stem
        name, number = stem, 1
        while f"agents/{name}.toml" in taken:
            number += 1
            name = f"{stem}_{number}"
        taken.append(f"agents/{name}.toml")
    return taken


def write_profile_page(
    page: Page, agent: NameGuess | None, hosts: Sequence[NameGuess], jurisdictions: Sequence[NameGuess]
) -> None:
    """Write one agent's profile onto its page.

    Parameters
    ----------
    page
        An empty page.
    agent
        The agent; None where no file names one.
    hosts
        Weeds of the infestations.
    jurisdictions
        Whose law holds, as the boundaries name them.
    """
    page.note(
        "An agent profile. Your files tell its name; everything about its biology is yours to say, with its "
        "source. "
        "Nothing here is filled in by guess."
    )
    page.add("", "format = 1")
    _name(page, agent)
    _host(page, agent, hosts)
    page.add(
        '# host_code = "ABCD"                       # two to eight capitals that start each site\'s name'
    )
    page.add("")
    page.ask(
        f"What is the chance that one release of {_called(agent)} establishes, from 0 to 1, before any "
        f"visit? The "
        "profile cannot be used without it. Take it from your own records or the literature.",
        ['# establishment.prior_share = {value = N, source = "SOURCE"}'],
        "take the # away, write your number for N and where it comes from for SOURCE",
        is_needed=True,
        stand_ins=[_PRIOR_STAND_IN],
    )
    page.add("")
    _ask_biology(page, agent)
    _ask_supply(page, agent)
    _ask_signs(page, agent)
    _ask_law(page, agent, jurisdictions)


def _called(agent: NameGuess | None) -> str:
    return f"'{agent.name}'" if agent else "this agent"


def _name(page: Page, agent: NameGuess | None) -> None:
    if agent is not None and agent.alike:
        _ask_one_agent(page, agent)
        return
    if agent is not None:
        page.set("name", toml_text(agent.name), f"written so in {_rows(agent.rows)} of your files")
        return
    # A comment, not a ?: any text would pass for a name.
    page.ask(
        "Which agent is this season for? No file names one. Copy this profile for each further agent.",
        ['# name = "NAME"'],
        "take the # away and write the agent's name for NAME",
        is_needed=True,
        stand_ins=['name = "stand-in"'],
    )


def _ask_one_agent(page: Page, agent: NameGuess) -> None:
    """Ask whether names that are nearly the same are one agent; one profile is drafted for all of them."""
    names = [(agent.name, agent.rows), *agent.alike]
    told = listed([f"'{name}' ({_rows(rows)})" for name, rows in names[:_NAMES_SHOWN]], last="and")
    more = f" and {len(names) - _NAMES_SHOWN:,} more" if len(names) > _NAMES_SHOWN else ""
    page.ask(
        f"Are these one agent, and which spelling is right: {told}{more}? This profile was drafted for the "
        "commonest; rows under another name are not used.",
        [f"name = {toml_text(agent.name)}"],
        "if they are one, leave the right spelling here and write it for the others in your files; if not, "
        "copy this profile for each other agent, with its own name, and add the copy to [season] agents",
        is_needed=False,
    )


def _rows(number: int) -> str:
    return f"{number:,} {'row' if number == 1 else 'rows'}"


def _host(page: Page, agent: NameGuess | None, hosts: Sequence[NameGuess]) -> None:
    names = [host.name for host in hosts]
    if agent is not None and agent.host:
        page.ask(
            f"Does {_called(agent)} live on '{agent.host}'? Guessed because {agent.evidence}.",
            [f"host = {toml_text(agent.host)}"],
            "leave it so, or write the weed's name as the infestations do",
            is_needed=False,
        )
        return
    page.ask(
        f"Which weed does {_called(agent)} live on? Write its name as the infestations do.",
        ['# host = "WEED"'],
        f"take the # away and write {listed(names[:_HOSTS_SHOWN]) or 'its name'} for WEED",
        is_needed=True,
        stand_ins=[f"host = {toml_text(names[0] if names else 'stand-in')}"],
    )


def _ask_biology(page: Page, agent: NameGuess | None) -> None:
    keys = ("establishment.years_to_confirm", "establishment.years_to_harvest",
            "establishment.first_detectable_years", "establishment.persistence_share", "spread.km_per_yr",
            "spread.max_spread_km", "spread.largest_gap_km", "release.number_per_release")  # fmt: skip
    page.ask(
        f"What else is known of {_called(agent)}? A line that stays a comment leaves something off: without "
        "years_to_confirm every find confirms a population, without years_to_harvest no source is too young, "
        "without first_detectable_years a visit counts from the first day on, without persistence_share a "
        "population stays for good, without km_per_yr and max_spread_km no spread is counted, without "
        "largest_gap_km it crosses what max_spread_km says, without number_per_release no source fills any.",
        [f'# {key} = {{value = N, source = "SOURCE"}}' for key in keys],
        _TAKE_WHERE_KNOWN,
        is_needed=False,
        stand_ins=(),
    )


def _ask_supply(page: Page, agent: NameGuess | None) -> None:
    """Ask what a source yields: nobody else can say how much may be taken."""
    keys = ("hours_on_site", "max_take", "halving_years", "widening_per_yr")
    page.add("")
    page.ask(
        f"What can a source of {_called(agent)} yield? Without hours_on_site (person-hours at one source), "
        "max_take (most you allow to be taken), halving_years (after which a catch counts half) and "
        "widening_per_yr (how much less sure it is with each year) the supply is unknown.",
        [f'# collecting.{key} = {{value = N, source = "SOURCE"}}' for key in keys],
        _TAKE_WHERE_KNOWN,
        is_needed=False,
        stand_ins=(),
    )


def _ask_signs(page: Page, agent: NameGuess | None) -> None:
    """Ask for the signs to look for: without them a visit that found nothing changes nothing."""
    page.add("")
    lines = [
        "# [[signs]]",
        '# name = "WHAT TO LOOK FOR"',
        '# methods = ["METHOD"]',
        '# first_day = "MM-DD"',
        '# last_day = "MM-DD"',
        '# found_share = {value = N, low = N, high = N, source = "SOURCE"}',
        "# effort_hours = N",
        "# wrong_share = N",
    ]
    page.ask(
        f"What can be seen of {_called(agent)}, when, and how often does a visit find it where it lives? "
        "Without a sign a visit that found nothing changes no chance. Repeat the block for each stage or "
        "damage; found_share is meant for effort_hours of looking, never the share of releases found again.",
        lines,
        "take the # away and write each value; the methods as the visits write them",
        is_needed=False,
        stand_ins=(),
    )


def _ask_law(page: Page, agent: NameGuess | None, jurisdictions: Sequence[NameGuess]) -> None:
    names = [one.name for one in jurisdictions[:_JURISDICTIONS_AT_MOST]] or ["NAME"]
    page.add("")
    lines = [
        line
        for name in names
        for line in (
            "# [[legal_status]]",
            f"# jurisdiction = {toml_text(name)}",
            f"# status = {blank()}",
            '# authority = "WHO SAYS SO"',
            "# checked_on = YYYY-MM-DD",
        )
    ]
    page.ask(
        f"What does the law say of releasing or moving {_called(agent)}? Until you say so, every output "
        f"prints STOP AND ASK.",
        lines,
        "take the # away, write allowed, permit, forbidden, moratorium or unknown for each ?, who says so, "
        "and the day "
        "you looked it up",
        is_needed=False,
        stand_ins=(),
    )
