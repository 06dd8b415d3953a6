"""Which words of a column mean yes, and which mean no."""

from collections.abc import Iterable
from dataclasses import dataclass

from geo_scout.layers.inspect.answer_words import NO_WORDS, UNSURE_WORDS, YES_WORDS
from geo_scout.model.folded import folded

WORDS_AT_MOST = 12
_SHORT = 3


@dataclass(frozen=True, slots=True)
class Answers:
    """The words of a column, sorted by meaning.

    Parameters
    ----------
    yes, no
        Words whose meaning is plain.
    unsure
        Words that say that nobody knows.
    open
        Words whose meaning only the user knows.
    """

    yes: tuple[str, ...]
    no: tuple[str, ...]
    unsure: tuple[str, ...]
    open: tuple[str, ...]

    @property
    def share_known(self) -> float:
        """Share of the words whose meaning is plain [share]."""
        known = len(self.yes) + len(self.no) + len(self.unsure)
        return known / max(known + len(self.open), 1)


def sort_answers(texts: Iterable[str]) -> Answers:
    """Return words sorted by meaning; a negation anywhere makes a no, so "not seen" is no "seen".

    Examples
    --------
    >>> sort_answers(["seen, voucher kept", "none seen", "maybe"])
    Answers(yes=('seen, voucher kept',), no=('none seen',), unsure=(), open=('maybe',))
    """
    sorted_words: dict[str, list[str]] = {"yes": [], "no": [], "unsure": [], "open": []}
    for text in dict.fromkeys(folded(text) for text in texts if text.strip()):
        sorted_words[_meaning(text)].append(text)
    return Answers(**{meaning: tuple(words) for meaning, words in sorted_words.items()})


def _meaning(text: str) -> str:
    if text in UNSURE_WORDS:
        return "unsure"
    words = text.replace(",", " ").replace(";", " ").replace("-", " ").split()
    if any(word in NO_WORDS or word.startswith(("unsuccess", "undetect")) for word in words):
        return "no"
    # A longer sentence may take back what its first word says: "present before spraying, now gone".
    is_short = 1 <= len(words) <= _SHORT and not any(word in UNSURE_WORDS for word in words)
    says_yes = is_short and (words[0] in YES_WORDS or (len(words) == 2 and words[1] in YES_WORDS))
    return "yes" if says_yes else "open"
