"""Rules of the visits layer, and which release each visit belongs to."""

import numpy as np

from geo_scout.layers.cells.agent_names import match_agents
from geo_scout.layers.cells.text_values import as_yes_no, each_once
from geo_scout.layers.cells.words import words_fix
from geo_scout.layers.drafts import LayerDraft, Rows, Why
from geo_scout.layers.kinds.duplicates import say_repeated_ids
from geo_scout.layers.kinds.impossible_numbers import drop_impossible_numbers, say_vague_positions
from geo_scout.layers.kinds.known_then import set_aside_future
from geo_scout.layers.kinds.odd_efforts import say_odd_efforts
from geo_scout.layers.kinds.releases import drop_zero_uncertainty
from geo_scout.layers.kinds.visits_joined import join_by_place
from geo_scout.layers.wording import did_you_mean
from geo_scout.model.folded import folded


def check_visits(draft: LayerDraft) -> None:
    """Give the visits ``found``; a result that is neither found nor not found is set aside."""
    match_agents(draft)
    set_aside_future(draft, "date")
    answers = as_yes_no(draft.texts("result"), draft.table.yes, draft.table.no)
    unclear = answers == "?"
    why = Why("result-unknown", "unknown result", words_fix(draft, "YOUR WORD", "found", "not found"))
    what = [f"result '{word}' is neither found nor not found." for word in draft.texts("result")[unclear]]
    draft.set_aside(unclear, why, what)
    draft.frame["found"] = answers[~unclear] == "yes"
    draft.frame["release_link"] = np.full(len(draft.frame), "", dtype=object)
    _blank_vouchers_that_are_none(draft)
    drop_zero_uncertainty(draft)
    drop_impossible_numbers(draft)
    say_odd_efforts(draft)
    say_vague_positions(draft)
    say_repeated_ids(draft)


def _blank_vouchers_that_are_none(draft: LayerDraft) -> None:
    """Blank vouchers that say there is none: a column of "no" is no column of specimens."""
    none = {folded(word) for word in (*draft.table.no, "none", "-", "not kept")}
    vouchers = draft.texts("voucher")
    draft.frame["voucher"] = each_once(vouchers, lambda text: "" if folded(text) in none else text)


def link_visits(visits: LayerDraft, releases: LayerDraft | None) -> None:
    """Spell each visit's release as the releases do; a visit that matches none counts without one.

    ``release_link`` says how the two came together: "id", "place" or "".
    """
    names_none = _link_by_id(visits, releases)
    visits.frame["release_link"] = np.where(visits.texts("release_id") != "", "id", "").astype(object)
    if releases is not None:
        join_by_place(visits, releases, names_none)


def _link_by_id(visits: LayerDraft, releases: LayerDraft | None) -> Rows:
    """Link the visits that name a release, and return those that name none."""
    written = visits.texts("release_id")
    if releases is None:
        named = written != ""
        if named.any():
            number, verb = visits.told(named, "visit"), "counts" if named.sum() == 1 else "count"
            reason = (
                f"the season has no releases layer, so {number} with a release_id {verb} without a release."
            )
            visits.say("release-unmatched", "caution", reason, "Add [layers.releases].")
        visits.frame["release_id"] = ""
        return np.asarray(~named, dtype=bool)
    known = {folded(text): str(text) for text in releases.texts("release_id")}
    matched = np.empty(len(written), dtype=object)
    matched[:] = [known.get(folded(text), "") for text in written]
    unmatched = (matched == "") & (written != "")
    visits.frame["release_id"] = matched
    why = Why("release-unmatched", "", "Correct the id, or add the release.", is_bad=False)
    sentences = [
        f"release_id '{text}' is no release in use; the visit counts without one."
        f"{did_you_mean(text, known.values())}"
        for text in written[unmatched]
    ]
    visits.remark(unmatched, why, sentences)
    return np.asarray(written == "", dtype=bool)
