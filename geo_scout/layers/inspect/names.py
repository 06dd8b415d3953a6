"""How alike a name in a file is to a phrase in trade words."""

import difflib
import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache

# Short forms people use in column names, and the word they stand for.
SHORT_FORMS = {
    "pct": "percent", "perc": "percent", "prct": "percent", "per": "percent",
    "dt": "date", "dte": "date", "nm": "name", "nme": "name",
    "num": "number", "no": "number", "nbr": "number", "nr": "number",
    "mgr": "manager", "mgmt": "management", "qty": "quantity", "cnt": "count", "typ": "type",
    "sp": "species", "spp": "species", "spec": "species", "sci": "scientific",
    "ac": "acre", "acr": "acre", "ha": "hectare", "ref": "reference",
    "tot": "total", "frac": "fraction",
    "cov": "cover", "cvr": "cover", "can": "canopy",
    "surv": "survey", "srvy": "survey", "mon": "monitoring", "rel": "release", "rls": "release",
    "obs": "observation", "loc": "location", "desc": "description", "cmt": "comment", "com": "common",
    "long": "longitude", "lon": "longitude", "lng": "longitude", "lat": "latitude",
    "inf": "infested", "trt": "treatment", "jur": "jurisdiction", "perm": "permission", "hrs": "hour",
    "cnty": "county", "prec": "precipitation", "ppt": "precipitation", "pcp": "precipitation",
}  # fmt: skip
# What people say of a column besides its meaning: who measured it, and how well.
_BESIDES = frozenset({"gis", "calc", "calculated", "computed", "est", "estimated", "approx", "approximate"})
_IN_BRACKETS = re.compile(r"\([^()]*\)|\[[^\[\]]*\]|\{[^{}]*\}")
_LESS_PLAIN = 0.95
LEAST_LETTERS = 4
_TYPO = 0.84
_CUT_AT = 10


@lru_cache(maxsize=20_000)
def words_of(name: str) -> tuple[str, ...]:
    """Return the words of a name: accents, capitals, marks, plurals and short forms do not matter.

    Examples
    --------
    >>> words_of("CANOPY_PCT"), words_of("ReleaseDates"), words_of("%Cover")
    (('canopy', 'percent'), ('release', 'date'), ('percent', 'cover'))
    """
    plain = unicodedata.normalize("NFKD", name)
    plain = "".join(letter for letter in plain if not unicodedata.combining(letter))
    # "ReleaseDate" is two words, and so is "GISAcres".
    apart = re.sub(r"(?<=[a-z])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z]{2})", " ", plain.replace("%", " percent "))
    return tuple(_whole(word) for word in re.findall(r"[^\W_]+", apart.casefold()))


def likeness(name: str, phrases: Iterable[str]) -> tuple[float, str]:
    """Return how alike a name is to the nearest of some phrases, 0 to 1, and that phrase.

    1 is the same words; words too many cost their share; a cut-off or misspelt word costs a little, and so
    does what stands in brackets, such as a unit, or says how a value was found.

    Examples
    --------
    >>> likeness("SURV_DATE", ["survey date", "date"])
    (1.0, 'survey date')
    >>> likeness("coordinate", ["coordinate uncertainty m"])[0]
    0.92
    >>> likeness("owner", ["species"])[0]
    0.0
    >>> likeness("Acres (GIS)", ["acre"])
    (0.95, 'acre')
    """
    bare, phrases = _bare(name), tuple(phrases)
    scored = [(_alike(name, phrase), phrase) for phrase in phrases]
    if bare and bare != name:
        scored += [(round(_LESS_PLAIN * _alike(bare, phrase), 2), phrase) for phrase in phrases]
    return max(scored, key=lambda pair: pair[0], default=(0.0, ""))


@lru_cache(maxsize=20_000)
def _bare(name: str) -> str:
    """Return a name without what stands in brackets and without words on how a value was found."""
    bare = _IN_BRACKETS.sub(" ", name).strip()
    words = words_of(bare)
    return bare if not set(words) & _BESIDES else " ".join(word for word in words if word not in _BESIDES)


@lru_cache(maxsize=20_000)
def _alike(name: str, phrase: str) -> float:
    theirs, ours = words_of(name), words_of(phrase)
    if not theirs or not ours:
        return 0.0
    if theirs == ours or "".join(theirs) == "".join(ours):
        return 1.0
    # Shapefiles keep ten characters of a name.
    whole = "_".join(ours)
    if len(name) == _CUT_AT and whole.startswith(name.casefold()) and len(whole) > _CUT_AT:
        return 0.92
    left = list(theirs)
    found = 0.0
    for word in ours:
        alike, best = max(((_word_alike(other, word), other) for other in left), default=(0.0, ""))
        if alike == 0.0:
            break
        found += alike
        left.remove(best)
    else:
        return round(min(found, len(theirs)) / len(theirs), 2)
    letters = difflib.SequenceMatcher(None, "".join(theirs), "".join(ours))
    # Bounds that are quick to find; few names are nearly alike.
    if letters.real_quick_ratio() < _TYPO or letters.quick_ratio() < _TYPO:
        return 0.0
    ratio = letters.ratio()
    return round(0.9 * ratio, 2) if ratio >= _TYPO else 0.0


def _word_alike(theirs: str, ours: str) -> float:
    if theirs == ours:
        return 1.0
    if len(theirs) >= LEAST_LETTERS and len(theirs) < len(ours) and ours.startswith(theirs):
        return 0.9
    return 0.0


def _whole(word: str) -> str:
    word = SHORT_FORMS.get(word, word)
    if len(word) > LEAST_LETTERS and word.endswith("ies"):
        # "species" is its own singular.
        return word if word == "species" else word[:-3] + "y"
    if word.endswith(("sses", "xes", "ches", "shes")):
        return word[:-2]
    if len(word) >= LEAST_LETTERS and word.endswith("s") and not word.endswith(("ss", "us")):
        return word if word == "species" else SHORT_FORMS.get(word[:-1], word[:-1])
    return word
