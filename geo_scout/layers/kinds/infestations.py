"""Rules of the infestations layer: circles for points, cover, permission, dates, duplicates."""

from geo_scout.layers.cells.cover import read_cover
from geo_scout.layers.cells.text_values import each_once
from geo_scout.layers.cells.words import fold_permission, result_meanings, words_fix
from geo_scout.layers.drafts import LayerDraft, Why
from geo_scout.layers.kinds.duplicates import say_repeated_ids, set_aside_duplicates
from geo_scout.layers.kinds.known_then import set_aside_future
from geo_scout.layers.kinds.stated_areas import say_other_areas
from geo_scout.layers.kinds.too_many_patches import stop_at_too_many_patches
from geo_scout.layers.places.areas import draw_circles
from geo_scout.model.folded import folded


def check_infestations(draft: LayerDraft) -> None:
    """Give the infestations their cover, area and permission; set aside what cannot be used."""
    set_aside_future(draft, "survey_date")
    _read_results(draft)
    draw_circles(draft)
    say_other_areas(draft)
    read_cover(draft)
    fold_permission(draft)
    set_aside_duplicates(draft)
    say_repeated_ids(draft)
    _say_undated(draft)
    stop_at_too_many_patches(draft)


def _read_results(draft: LayerDraft) -> None:
    meanings = result_meanings(draft, "present")
    written = draft.texts("result")
    folded_results = each_once(written, lambda text: meanings.get(folded(text), ""))
    draft.frame["result"] = folded_results
    fix = words_fix(draft, "YOUR WORD", "that the host is there", "that none was found")
    why = Why("result-unknown", "unknown result", fix)
    # A word such as "eradicated" must neither make a candidate nor remove one by a guess.
    unknown = folded_results == ""
    what = [f"result '{word}' is neither present nor none found." for word in written[unknown]]
    draft.set_aside(unknown, why, what)


def _say_undated(draft: LayerDraft) -> None:
    undated = draft.frame["survey_date"].isna().to_numpy()
    if undated.any():
        what = (
            f"no survey date is known for {draft.told(undated, 'infestation')}; such a survey counts as "
            "older than every dated one, which takes the ground where the two overlap."
        )
        draft.say("undated", "caution", what, "Fill in the day of the survey, even a rough one.")
