"""The words of a layer that mean yes and no; a question for those only the user knows."""

from collections.abc import Iterator

from geo_scout.layers.inspect.answers import Answers, sort_answers
from geo_scout.model.columns import columns_of
from geo_scout.model.draft import LayerGuess, SettingGuess
from geo_scout.model.folded import folded
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import listed

_QUESTIONS = {
    "visits": ("found", "looked for and not found"),
    "infestations": ("yes, or present", "no, or none found"),
}


def guess_words(layer: LayerGuess) -> Iterator[SettingGuess]:
    """Yield ``yes`` and ``no``, where the layer uses other words than those that are known anyway."""
    if not any(ours.kind == "yes or no" for ours in columns_of(layer.kind)):
        return
    names = [ours.name for ours in columns_of(layer.kind) if ours.kind == "yes or no"]
    columns = [
        column for name in dict.fromkeys(("result", *names)) if (column := layer.matched(name)) is not None
    ]
    texts = dict.fromkeys(text for column in columns for text in column.counts)
    if not texts:
        return
    answers = sort_answers(texts)
    known = {key: {folded(word) for word in LayerTable.model_fields[key].default} for key in ("yes", "no")}
    if not answers.open and set(answers.yes) <= known["yes"] and set(answers.no) <= known["no"]:
        return
    question = _question(layer.kind, answers, " and ".join(f"'{one.name}'" for one in columns))
    yes, no = list(answers.yes), list(answers.no)
    evidence = f"its words are {listed([f'{text!r}' for text in texts])}"
    yield SettingGuess("yes", yes, evidence, question, is_needed=bool(answers.open))
    yield SettingGuess("no", no, "")


def _question(kind: str, answers: Answers, names: str) -> str:
    positive, negative = _QUESTIONS[kind]
    if answers.open:
        words = listed([f'"{word}"' for word in answers.open])
        return (
            f"Which of these words in {names} mean {positive}, and which {negative}: {words}? Add each to a "
            f"list."
        )
    return f"Do these words in {names} mean {positive} (yes), and {negative} (no)?"
