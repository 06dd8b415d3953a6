"""Rules of the surveyed areas layer."""

from geo_scout.layers.cells.words import fold_words, result_meanings
from geo_scout.layers.drafts import LayerDraft
from geo_scout.layers.kinds.known_then import set_aside_future


def check_surveyed_areas(draft: LayerDraft) -> None:
    """Fold the results; set aside surveys that are still to come."""
    fold_words(draft, "result", result_meanings(draft, "surveyed"), "surveyed", "result-unknown")
    set_aside_future(draft, "survey_date")
