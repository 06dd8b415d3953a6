"""What the settings of records, signs and catches must also be true of."""

from collections.abc import Iterator, Mapping
from typing import Any

from geo_scout.model.agent import AgentProfile
from geo_scout.model.folded import folded
from geo_scout.model.problem import Problem
from geo_scout.model.records_table import RecordsTable
from geo_scout.season.document import Document
from geo_scout.season.fields import slot_at
from geo_scout.season.timing_checks import check_day
from geo_scout.season.unique import check_unique
from geo_scout.season.wording import KeyPath, dotted, show_number, show_value

_ENDS = ("low", "value", "high")
# From the least to the greatest, as they stand in [records].
_CHANCES = ("lost_below_share", "unlikely_to_share", "likely_from_share")


def check_records(document: Document) -> Iterator[Problem]:
    """Yield the mistakes of the season's [records]: chances that do not rise, losses nothing can show."""
    chances = {key: _chance(document, key) for key in _CHANCES}
    yield from _check_rise(document, chances, "lost_below_share", "unlikely_to_share", may_be_equal=True)
    yield from _check_rise(document, chances, "unlikely_to_share", "likely_from_share", may_be_equal=False)
    yield from _check_words(document, ("records", "loss_kinds"), "kind of treatment")
    if document.get("records", "loss_kinds") and "treatments" not in document.table("layers"):
        path: KeyPath = ("records", "loss_kinds")
        what = "the season has no layer 'treatments', so no loss can show."
        yield document.problem("layer-missing", path, what, "add [layers.treatments], or remove the line.")


def check_profile_records(document: Document) -> Iterator[Problem]:
    """Yield the mistakes of ranges, signs and catches of one agent profile."""
    yield from _check_ranges(document, (), document.data)
    signs = list(document.rows("signs"))
    for sign in signs:
        for key in ("first_day", "last_day"):
            yield from check_day(document, (*sign, key))
        yield from _check_methods(document, sign)
        yield from _check_wrong_share(document, sign)
    yield from check_unique(document, signs, "name", "sign")
    yield from _check_words(document, ("collecting", "methods"), "way of looking")


def _check_ranges(document: Document, path: KeyPath, value: Any) -> Iterator[Problem]:
    """Yield every value with a range that does not lie inside it, wherever it stands."""
    slot = slot_at(AgentProfile, path) if path else None
    if slot is not None and slot.has_range:
        if isinstance(value, Mapping):
            yield from _check_range(document, path, value)
        return
    items: Any = enumerate(value) if isinstance(value, list) else ()
    if isinstance(value, Mapping):
        items = value.items()
    for key, inner in items:
        yield from _check_ranges(document, (*path, key), inner)


def _check_range(document: Document, path: KeyPath, value: Mapping[str, Any]) -> Iterator[Problem]:
    given = {key: value.get(key) for key in _ENDS}
    ends = {
        key: number
        for key, number in given.items()
        if isinstance(number, int | float) and not isinstance(number, bool)
    }
    for (less_key, less), (more_key, more) in zip(
        list(ends.items())[:-1], list(ends.items())[1:], strict=True
    ):
        if less > more:
            what = f"{less_key} = {show_number(less)} lies above {more_key} = {show_number(more)}."
            fix = "write the three so that low is the least and high the greatest."
            if less_key == "low" and more_key == "high":
                fix = f"exchange them: low = {show_number(more)}, high = {show_number(less)}"
            yield document.problem("profile-range", (*path, more_key), what, fix)


def _check_methods(document: Document, sign: KeyPath) -> Iterator[Problem]:
    """Yield a sign that no visit can have looked for."""
    path = (*sign, "methods")
    if document.get(*path) == []:
        what = "this list is empty, so no visit can have looked for the sign."
        fix = 'name at least one way of looking, as the visits do: methods = ["sweeps"]'
        yield document.problem("sign-methods", path, what, fix)
    yield from _check_words(document, path, "way of looking")


def _check_words(document: Document, path: KeyPath, noun: str) -> Iterator[Problem]:
    """Yield words of a list that are blank, or there twice when capitals and spaces do not matter."""
    seen: dict[str, str] = {}
    for place, word in document.texts(*path):
        meant = folded(word)
        if not meant:
            what = f"this {noun} has no name."
            yield document.problem("bad-choice", place, what, "write one, or remove the empty text.")
        elif meant in seen:
            what = f"{show_value(word)} is already in the list."
            yield document.problem("duplicate-name", place, what, "remove one of the two.")
        seen.setdefault(meant, word)


def _check_wrong_share(document: Document, sign: KeyPath) -> Iterator[Problem]:
    """Yield a sign that is seen as often where the agent does not live as where it does."""
    found, wrong = document.number(*sign, "found_share"), document.number(*sign, "wrong_share")
    # nan, which is a mistake of its own, is never as much as anything.
    if found is None or wrong is None or not wrong >= found:
        return
    what = (
        f"wrong_share = {show_number(wrong)} is not below found_share = {show_number(found)}, so seeing the "
        "sign would say nothing."
    )
    fix = "wrong_share is the chance to report it where the agent does not live: write a smaller one."
    yield document.problem("sign-wrong-share", (*sign, "wrong_share"), what, fix)


def _chance(document: Document, key: str) -> float:
    """Return a chance as the file states it, else its default."""
    given = document.number("records", key)
    return float(RecordsTable.model_fields[key].default) if given is None else given


def _check_rise(
    document: Document, chances: Mapping[str, float], less: str, more: str, *, may_be_equal: bool
) -> Iterator[Problem]:
    if not (chances[less] > chances[more] or (chances[less] == chances[more] and not may_be_equal)):
        return
    stated = [key for key in (more, less) if document.get("records", key) is not None]
    if not stated:
        return
    path: KeyPath = ("records", stated[0])
    above = "lies above" if may_be_equal else "is not below"
    what = f"{less} = {show_number(chances[less])} {above} {more} = {show_number(chances[more])}."
    default = [key for key in (less, more) if key not in stated]
    aside = f" ({dotted(('records', default[0]))} is a default)" if default else ""
    fix = f"write them so that lost_below_share, unlikely_to_share and likely_from_share rise{aside}."
    yield document.problem("records-shares", path, what, fix)
