"""What stated weights must be true of: names in use, each once, one way only, every pair compared."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import combinations

from geo_scout.formulas.pairwise_comparison import RANDOM_INDEX
from geo_scout.model.criteria import ROLES, CriteriaTables, Role
from geo_scout.model.problem import Problem
from geo_scout.season.document import Document
from geo_scout.season.fields import slot_at
from geo_scout.season.suggest import did_you_mean, nearest
from geo_scout.season.wording import KeyPath, dotted, listed, show_value

_MOST_MISSING = 10
"""Pairs a message lists."""


def check_weights(document: Document) -> Iterator[Problem]:
    """Yield the mistakes of the weights of both rankings, in the order of the file."""
    for role in ROLES:
        path: KeyPath = ("weights", role)
        if not document.table(*path):
            continue
        names = _criteria_in_use(document, role)
        groups = {
            name: one for name, one in document.table(*path, "groups").items() if isinstance(one, Mapping)
        }
        if groups:
            yield from _check_groups(document, path, list(groups), names)
        yield from _check_way(document, path, list(groups) or names, "group" if groups else "criterion")
        yield from _check_idle(document, path, role)


def _criteria_in_use(document: Document, role: Role) -> list[str]:
    stated = document.get("criteria", role)
    if isinstance(stated, Mapping):
        return [name for name in stated if slot_at(CriteriaTables, (role, name)) is not None]
    return list(CriteriaTables().of(role))


def _check_way(document: Document, path: KeyPath, names: Sequence[str], noun: str) -> Iterator[Problem]:
    """Yield the mistakes of an order or of judgements about these names."""
    ways = [key for key in ("order", "judgements") if document.get(*path, key) is not None]
    if len(ways) > 1:
        what = "order and judgements both say what these weigh."
        yield document.problem("weights-twice", (*path, "judgements"), what, "keep one of the two.")
    yield from _check_order(document, (*path, "order"), names, noun)
    yield from _check_judgements(document, (*path, "judgements"), names, noun)


def _check_order(document: Document, path: KeyPath, names: Sequence[str], noun: str) -> Iterator[Problem]:
    if not isinstance(document.get(*path), list):
        return
    for index, item in enumerate(document.get(*path)):
        if item == []:
            what = "this list holds nobody."
            yield document.problem(
                "weights-missing", (*path, index), what, "name someone in it, or remove it."
            )
    seen: dict[str, KeyPath] = {}
    for place, name in _ordered(document, path):
        yield from _check_name(document, place, name, names, noun)
        first = seen.setdefault(name, place)
        if first != place:
            what = f"{show_value(name)} is already {dotted(first)}."
            yield document.problem("weights-name", place, what, "name each once; remove one of the two.")
    missing = _not_named(names, seen)
    if missing:
        what = f"{listed(missing, last='and')} {'is' if len(missing) == 1 else 'are'} not in the order."
        fix = "add each where it belongs; equally important ones go into a list of their own inside."
        yield document.problem("weights-missing", path, what, fix)


def _not_named(names: Sequence[str], seen: Iterable[str]) -> list[str]:
    """Return the names that are not there, not even misspelt: a slip is told once."""
    given = set(seen)
    meant = given | {nearest(name, names) for name in given - set(names)}
    return [name for name in names if name not in meant]


def _ordered(document: Document, path: KeyPath) -> Iterator[tuple[KeyPath, str]]:
    """Yield the names of an order, also those in a list inside."""
    for index, item in enumerate(document.get(*path)):
        if isinstance(item, str):
            yield (*path, index), item
        elif isinstance(item, list):
            yield from document.texts(*path, index)


def _check_judgements(
    document: Document, path: KeyPath, names: Sequence[str], noun: str
) -> Iterator[Problem]:
    if not isinstance(document.get(*path), list):
        return
    seen: dict[frozenset[str], KeyPath] = {}
    for row in document.rows(*path):
        pair = [document.text(*row, key) for key in ("more", "than")]
        for key, name in zip(("more", "than"), pair, strict=True):
            if name is not None:
                yield from _check_name(document, (*row, key), name, names, noun)
        if pair[0] is None or pair[1] is None:
            continue
        if pair[0] == pair[1]:
            what = f"{show_value(pair[0])} is compared with itself."
            yield document.problem("weights-pair", row, what, f"compare two different {_many(noun)}.")
            continue
        both = frozenset((pair[0], pair[1]))
        first = seen.setdefault(both, row)
        if first != row:
            what = f"{pair[0]} and {pair[1]} are already compared in {dotted(first)}."
            yield document.problem(
                "weights-pair", row, what, "compare each pair once; remove one of the two."
            )
    yield from _check_all_pairs(document, path, names, noun, seen)


def _check_all_pairs(
    document: Document, path: KeyPath, names: Sequence[str], noun: str, seen: Mapping[frozenset[str], KeyPath]
) -> Iterator[Problem]:
    missing = [pair for pair in combinations(names, 2) if frozenset(pair) not in seen]
    if missing:
        pairs = len(missing) + len([pair for pair in seen if pair <= set(names)])
        are = "is" if len(missing) == 1 else "are"
        what = f"{len(missing)} of {pairs} pairs of {_many(noun)} {are} not compared."
        lines = [
            f'{{more = "{one}", than = "{other}", times = N}},' for one, other in missing[:_MOST_MISSING]
        ]
        more = len(missing) - len(lines)
        fix = "add, with your own number (0.11 to 9) for N, and the names exchanged where it is less:\n"
        fix += "\n".join(f"    {line}" for line in lines) + (f"\n    and {more} more" if more else "")
        yield document.problem("weights-missing", path, what, fix)
    table = document.text(*path[:2], "random_index") or "saaty_1980"
    reach = len(RANDOM_INDEX.get(table, ()))
    if reach and len(names) > reach:
        what = f"{len(names)} {_many(noun)} are compared; the table {table} reaches to {reach}."
        fix = f"put them into groups: [{dotted(path[:2])}.groups.NAME]"
        if table == "saaty_1980" and len(names) <= len(RANDOM_INDEX["saaty_2005"]):
            fix += ', or write random_index = "saaty_2005"'
        yield document.problem("weights-many", path, what, fix)


def _check_name(
    document: Document, path: KeyPath, name: str, names: Sequence[str], noun: str
) -> Iterator[Problem]:
    if name not in names:
        what = f"{show_value(name)} is no {noun} of this ranking."
        otherwise = f"the {_many(noun)} are {listed(names, last='and')}."
        yield document.problem("weights-name", path, what, did_you_mean(name, names, otherwise))


def _check_groups(
    document: Document, path: KeyPath, groups: Sequence[str], names: Sequence[str]
) -> Iterator[Problem]:
    seen: dict[str, KeyPath] = {}
    for group in groups:
        own: KeyPath = (*path, "groups", group)
        if document.get(*own, "criteria") == []:
            yield document.problem(
                "weights-group", own, "this group has no criterion.", "name one, or remove it."
            )
        members = list(document.texts(*own, "criteria"))
        for place, name in members:
            yield from _check_name(document, place, name, names, "criterion")
            first = seen.setdefault(name, place)
            if first != place:
                what = f"{show_value(name)} is already {dotted(first)}."
                yield document.problem("weights-group", place, what, "put each criterion into one group.")
        inside = [name for _, name in members if name in names]
        yield from _check_way(document, own, inside, "criterion")
    missing = _not_named(names, seen)
    if missing:
        what = f"{listed(missing, last='and')} {'is' if len(missing) == 1 else 'are'} in no group."
        fix = "add each to the criteria of one group; every criterion in use needs a place."
        yield document.problem("weights-missing", (*path, "groups"), what, fix)


def _check_idle(document: Document, path: KeyPath, role: Role) -> Iterator[Problem]:
    """Yield what is stated and would count for nothing, and weights of which none counts."""
    groups = document.table(*path, "groups")
    is_weighed = any(document.get(*path, key) is not None for key in ("order", "judgements"))
    for group in groups:
        if is_weighed and document.get(*path, "groups", group, "weight") is not None:
            what = f"this weight counts for nothing beside the order or judgements of [{dotted(path)}]."
            yield document.problem("weights-idle", (*path, "groups", group, "weight"), what, "remove it.")
    if groups and not is_weighed and all(_weighs_nothing(document, (*path, "groups", one)) for one in groups):
        what = "every group of this ranking weighs 0."
        yield document.problem("weights-zero", (*path, "groups"), what, "give one a weight above 0.")
    scopes = [(*path, "groups", group) for group in groups] or [path]
    if not groups and not is_weighed:
        what = "this table states neither an order, nor judgements, nor groups."
        yield document.problem("weights-idle", path, what, "add one of them, or remove the table.")
        return
    for scope in scopes:
        yield from _check_direct(document, scope, role, is_grouped=bool(groups))
    judged = [scope for scope in {path, *scopes} if document.get(*scope, "judgements") is not None]
    if not judged and document.get(*path, "random_index") is not None:
        what = "random_index counts for nothing without judgements."
        yield document.problem("weights-idle", (*path, "random_index"), what, "remove it.")


def _check_direct(document: Document, scope: KeyPath, role: Role, *, is_grouped: bool) -> Iterator[Problem]:
    """Yield weights of criteria that an order or judgements replace, or that leave a group with nothing."""
    names = [name for _, name in document.texts(*scope, "criteria")] if is_grouped else None
    members = [name for name in _criteria_in_use(document, role) if names is None or name in names]
    if any(document.get(*scope, key) is not None for key in ("order", "judgements")):
        for name in members:
            own: KeyPath = ("criteria", role, name, "weight")
            if document.get(*own) is not None:
                what = f"this weight counts for nothing: {document.title(scope)} says what {name} weighs."
                yield document.problem(
                    "weights-idle", own, what, f"remove it, or remove {document.title(scope)}."
                )
    elif members and all(_weighs_nothing(document, ("criteria", role, name)) for name in members):
        what = "every criterion of this group weighs 0."
        yield document.problem(
            "weights-zero", scope, what, "give one of them a weight above 0, or take the group out."
        )


def _weighs_nothing(document: Document, path: KeyPath) -> bool:
    return document.number(*path, "weight") == 0


def _many(noun: str) -> str:
    return {"criterion": "criteria", "group": "groups"}[noun]
