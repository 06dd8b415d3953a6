"""Rules of the requests layer."""

from geo_scout.layers.cells.agent_names import match_agents
from geo_scout.layers.cells.text_values import each_once
from geo_scout.layers.cells.words import fold_purpose
from geo_scout.layers.drafts import LayerDraft
from geo_scout.layers.kinds.duplicates import say_repeated_ids
from geo_scout.layers.kinds.known_then import set_aside_future
from geo_scout.model.folded import folded


def check_requests(draft: LayerDraft) -> None:
    """Match the agents, fold purpose and status, set aside requests that are still to come."""
    match_agents(draft)
    set_aside_future(draft, "date")
    fold_purpose(draft)
    written = draft.texts("status")
    draft.frame["status"] = each_once(written, lambda text: "open" if folded(text) == "open" else text)
    say_repeated_ids(draft)
