"""How well the season's judgements agree with each other, as findings."""

from geo_scout.model.criteria import ROLES, Role
from geo_scout.model.finding import Finding
from geo_scout.model.season import Season
from geo_scout.model.weighing import ConsistencyNote
from geo_scout.ranking.weigh import weigh
from geo_scout.ranking.weight_words import consistency_words, mending_words

_LAYER = "weights"


def find_inconsistent(season: Season) -> tuple[Finding, ...]:
    """Return one finding for each set of judgements of the season: a caution where they disagree.

    Parameters
    ----------
    season
        Its criteria and weights; no layer is needed.
    """
    return tuple(
        _finding(role, note)
        for role in ROLES
        for note in weigh(season.settings.criteria.of(role), season.settings.weights.of(role)).consistency
    )


def _finding(role: Role, note: ConsistencyNote) -> Finding:
    key = f"weights.{role}" + (f".groups.{note.about}" if note.about else "")
    what = f"the judgements of [{key}]: {consistency_words(note)}."
    if note.is_accepted:
        return Finding("judgements-consistent", "note", _LAYER, "", what, "nothing to do.")
    fix = mending_words(note) or "go through the judgements again."
    return Finding("judgements-inconsistent", "caution", _LAYER, "", what, fix)
