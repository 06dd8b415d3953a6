"""The rounded tables every output prints from, one per role, fit for their audience."""

import pandas as pd

from geo_scout.model.cautions import before_you_go
from geo_scout.model.criteria import ROLES, Role
from geo_scout.model.exclusion import Exclusion
from geo_scout.model.presence import CAME_BACK
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.model.rows import plain_values
from geo_scout.outputs.rounding import round_table

PRIVATE_COLUMNS = (
    "manager",
    "permission",
    "parcel",
    "request_ids",
    "member_ids",
    "land_classes",
    "crew",
    "purpose",
)
PRIVATE_CODES = ("permission-refused", "land-forbidden", "treated", "treatment-planned")
WITHHELD = "Left out: a rule of the season that is not for public copies."


def build_tables(result: SeasonResult, audience: Audience) -> dict[Role, pd.DataFrame]:
    """Return the printed table of each role: every site of every agent, ranked first per agent.

    Parameters
    ----------
    result
        What the run found.
    audience
        ``public`` copies withhold managers, permissions, requests, parcels and land classes.
    """
    tables: dict[Role, pd.DataFrame] = {}
    for role in ROLES:
        parts = [ranking.table for ranking in result.rankings if ranking.role == role]
        table = round_table(pd.concat(parts, ignore_index=True))
        tables[role] = _for_public(table, result.exclusions, role) if audience == "public" else table
        tables[role] = with_before_you_go(tables[role].drop(columns="public_cautions"))
    return tables


def with_before_you_go(table: pd.DataFrame) -> pd.DataFrame:
    """Return a table with what to check before going as its last column, what is open at a site first.

    Parameters
    ----------
    table
        Printed rows with ``stop_and_ask`` and ``permission``; a public copy holds no permission, so says
        nothing of it.
    """
    pairs = zip(table["stop_and_ask"], table["permission"], strict=True)
    return table.assign(before_you_go=[before_you_go(question, answer) for question, answer in pairs])


def _for_public(table: pd.DataFrame, exclusions: tuple[Exclusion, ...], role: Role) -> pd.DataFrame:
    public = table.assign(cautions=table["public_cautions"])
    public = public.assign(**{name: "" for name in PRIVATE_COLUMNS if name in public})
    if "state_words" in public:
        public["state_words"] = public_words(public["state_words"])
    reasons: dict[tuple[str, str], list[Exclusion]] = {}
    for exclusion in exclusions:
        if exclusion.role == role:
            reasons.setdefault((exclusion.agent, exclusion.site_id), []).append(exclusion)
    keys = list(zip(public["agent"], public["site_id"], strict=True))
    found = [reasons.get(key, []) for key in keys]
    return public.assign(
        exclusion_codes=["; ".join(dict.fromkeys(shown_code(e, "public") for e in ones)) for ones in found],
        reasons=[" ".join(dict.fromkeys(_sentence(e) for e in ones)) for ones in found],
        what_would_change_it=[
            " ".join(e.remedy for e in ones if e.code not in PRIVATE_CODES) if ones else change
            for ones, change in zip(found, public["what_would_change_it"], strict=True)
        ],
    )


def public_words(state_words: pd.Series) -> pd.Series:
    """Return what a public copy says of a state: its chance, not the visits and treatments it rests on."""
    told = [str(words).partition(":")[0].replace(CAME_BACK, "") for words in plain_values(state_words)]
    return pd.Series(told, index=state_words.index, dtype=object)


def shown_code(exclusion: Exclusion, audience: Audience) -> str:
    """Return the code of an exclusion as this audience sees it."""
    return "withheld" if audience == "public" and exclusion.code in PRIVATE_CODES else exclusion.code


def _sentence(exclusion: Exclusion) -> str:
    if exclusion.code in PRIVATE_CODES:
        return WITHHELD
    return f"Left out: {exclusion.sentence.replace(CAME_BACK, '')}"
