"""How the dates of a layer are written; a question where day and month cannot be told apart."""

from collections.abc import Iterator

from geo_scout.layers.inspect.cell_tests import day_example
from geo_scout.layers.inspect.date_formats import first_part, telling_date
from geo_scout.model.columns import SPREADSHEET_DAY, columns_of
from geo_scout.model.draft import BLANK, FoundColumn, LayerGuess, SettingGuess


def guess_date_format(layer: LayerGuess) -> Iterator[SettingGuess]:
    """Yield the layer's date format, where its dates are text that we would not read without one."""
    columns = [
        column
        for ours in columns_of(layer.kind)
        if ours.kind == "date" and (column := layer.matched(ours.name)) is not None
    ]
    texts = [column for column in columns if column.date_formats and not column.is_typed_date]
    if not texts or all(column.date_formats == ("",) for column in texts):
        return
    fitting = [one for one in texts[0].date_formats if all(one in column.date_formats for column in texts)]
    if not fitting:
        yield _ask_which(texts)
    elif len(fitting) == 1:
        yield SettingGuess("date_format", fitting[0], _evidence(texts, fitting[0]))
    else:
        yield _ask_order(texts, fitting)


def _evidence(texts: list[FoundColumn], pattern: str) -> str:
    if pattern == SPREADSHEET_DAY:
        return f"day numbers of a spreadsheet, {day_example(texts[0])}"
    example = next((text for column in texts if (text := telling_date(column.counts, pattern))), "")
    return f"'{example}' can only be read so" if example else f"'{next(iter(texts[0].counts))}' reads so"


def _ask_order(texts: list[FoundColumn], fitting: list[str]) -> SettingGuess:
    example = next(iter(texts[0].counts))
    names = " and ".join(f"'{column.name}'" for column in texts)
    question = f"Does '{example}' in {names} start with the day or with the month? Every date fits both."
    choices = tuple(f"{pattern} ({first_part(pattern)})" for pattern in fitting)
    return SettingGuess(
        "date_format", BLANK, "every date fits more than one format", question, choices, is_needed=True
    )


def _ask_which(texts: list[FoundColumn]) -> SettingGuess:
    shown = "; ".join(f"'{column.name}' writes '{next(iter(column.counts))}'" for column in texts)
    question = (
        f"In which way are the dates written? {shown}. A layer has one way; dates written otherwise are "
        f"taken as "
        "missing, so save the table with one of them."
    )
    choices = tuple(
        dict.fromkeys(pattern or "%Y-%m-%d" for column in texts for pattern in column.date_formats)
    )
    return SettingGuess(
        "date_format", BLANK, "the columns write dates in different ways", question, choices, is_needed=True
    )
