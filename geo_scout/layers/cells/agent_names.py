"""Agents named in a layer are matched to the season's profiles."""

from geo_scout.layers.cells.text_values import each_once
from geo_scout.layers.drafts import LayerDraft
from geo_scout.layers.wording import did_you_mean, folded


def match_agents(draft: LayerDraft) -> None:
    """Spell agents as their profiles do; one caution for each name that no profile has.

    Rows of other agents stay, as written.
    """
    profiles = {folded(agent.name): agent.name for agent in draft.season.agents}
    written = draft.texts("agent")
    draft.frame["agent"] = each_once(written, lambda text: profiles.get(folded(text), text))
    for name in sorted({text for text in written if text and folded(text) not in profiles}):
        rows = written == name
        verb = "is" if rows.sum() == 1 else "are"
        what = f"'{name}' is no agent of this season; {draft.told(rows, 'row')} {verb} not used."
        fix = (
            f"Add its profile to [season] agents, or correct the name.{did_you_mean(name, profiles.values())}"
        )
        draft.say("agent-unknown", "caution", what, fix)
