"""Agents named in a layer are matched to the season's profiles."""

from collections.abc import Sequence

from geo_scout.layers.cells.text_values import each_once
from geo_scout.layers.drafts import LayerDraft, Rows
from geo_scout.layers.wording import did_you_mean
from geo_scout.model.folded import folded
from geo_scout.model.listed import listed

_OF_A_GENUS = frozenset({"sp", "sp.", "spp", "spp."})


def match_agents(draft: LayerDraft) -> None:
    """Spell agents as their profiles do; one caution for each name that no profile has.

    Rows of other agents stay, as written.
    """
    profiles = {folded(agent.name): agent.name for agent in draft.season.agents}
    written = draft.texts("agent")
    draft.frame["agent"] = each_once(written, lambda text: profiles.get(folded(text), text))
    for name in sorted({text for text in written if text and folded(text) not in profiles}):
        rows = written == name
        fitting = agents_meant(name, list(profiles.values()))
        if len(fitting) > 1:
            _say_unclear(draft, name, rows, fitting)
            continue
        verb = "is" if rows.sum() == 1 else "are"
        what = f"'{name}' is no agent of this season; {draft.told(rows, 'row')} {verb} not used."
        fix = (
            f"Add its profile to [season] agents, or correct the name.{did_you_mean(name, profiles.values())}"
        )
        draft.say("agent-unknown", "caution", what, fix)


def agents_meant(name: str, agents: Sequence[str]) -> list[str]:
    """Return the agents whose names begin with a name, such as that of their genus, by whole words.

    Examples
    --------
    >>> agents_meant("Brackenia spp.", ["Brackenia alta", "Brackenia lata", "Cardalia alta"])
    ['Brackenia alta', 'Brackenia lata']
    >>> agents_meant("Brack", ["Brackenia alta", "Brackenia lata"])
    []
    """
    words = [word for word in folded(name).split() if word not in _OF_A_GENUS]
    return [agent for agent in agents if words and folded(agent).split()[: len(words)] == words]


def _say_unclear(draft: LayerDraft, name: str, rows: Rows, fitting: Sequence[str]) -> None:
    verb = "is" if rows.sum() == 1 else "are"
    what = (
        f"'{name}' fits several agents of this season, {listed(fitting)}; "
        f"{draft.told(rows, 'row')} {verb} not used."
    )
    fix = "Write which of them it was; a record of two agents is two rows."
    draft.say("agent-unclear", "caution", what, fix)
