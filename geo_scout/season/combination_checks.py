"""What the combination of criteria must be true of: an attitude where, and only where, one is used."""

from collections.abc import Iterator

from geo_scout.model.combination import METHODS
from geo_scout.model.criteria import ROLE_NOUNS, ROLES
from geo_scout.model.problem import Problem
from geo_scout.season.document import Document
from geo_scout.season.wording import KeyPath, listed

_AVERAGE = "ordered_average"


def check_combination(document: Document) -> Iterator[Problem]:
    """Yield the mistakes of the methods and attitudes of [ranking]."""
    default = document.get("ranking", "method")
    methods = {}
    for role in ROLES:
        own = document.get("ranking", f"{role}_method")
        methods[role] = own if own is not None else default if default is not None else METHODS[0]
    if any(method not in METHODS for method in methods.values()):
        return  # The model says what is wrong with the method.
    shared = document.get("ranking", "attitude")
    own = {role: document.get("ranking", f"{role}_attitude") for role in ROLES}
    uses = [role for role in ROLES if methods[role] == _AVERAGE]
    lacking = [role for role in uses if own[role] is None and shared is None]
    if lacking:
        is_own = all(document.get("ranking", f"{role}_method") is not None for role in lacking)
        key = f"{lacking[0]}_" if len(lacking) < len(ROLES) else ""
        at: KeyPath = ("ranking", f"{lacking[0]}_method" if is_own else "method")
        whose = listed([ROLE_NOUNS[role] for role in lacking], last="and")
        what = f"{_AVERAGE} needs an attitude, and {whose} have none."
        fix = f"add below [ranking], with your own number (0 to 1, 0.5 is neutral) for N: {key}attitude = N"
        yield document.problem("attitude-missing", at, what, fix)
    for role in ROLES:
        if methods[role] != _AVERAGE and own[role] is not None:
            what = f"an attitude is for {_AVERAGE}; the method of this ranking is {methods[role]}."
            fix = f'remove it, or write {role}_method = "{_AVERAGE}".'
            yield document.problem("attitude-idle", ("ranking", f"{role}_attitude"), what, fix)
    if shared is not None and all(own[role] is not None for role in uses):
        what = f"an attitude is for {_AVERAGE}; no ranking takes this one."
        fix = f'remove it, or write method = "{_AVERAGE}".'
        yield document.problem("attitude-idle", ("ranking", "attitude"), what, fix)
