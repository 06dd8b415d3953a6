"""Findings about tables that a command names itself: their remedies as options of the command.

Layers say what to write into a season file; where there is none, the same advice is an option.
"""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from geo_scout.errors import Printable
from geo_scout.model.finding import Finding

_CATCHES, _CATCHES_DATES = "catches.", "--catches-date-format"
# What a season file would say, and the option that says the same; in the order in which they are tried.
_OPTIONS: tuple[tuple[str, str | Callable[[re.Match[str]], str]], ...] = (
    (r'columns = \{(\w+) = "([^"]*)"\}', lambda found: f"--column {found[1]}={_quoted(found[2])}"),
    (r'units = \{temperature = "([^"]*)"\}', lambda found: f"--temperature {_quoted(found[1])}"),
    (r"units = \{temperature = '([^']*)'\}", lambda found: f"--temperature {_quoted(found[1])}"),
    (r'period = "([^"]*)"', r"--period \1"),
    (r'encoding = "([^"]*)"', r"--encoding \1"),
    (r'layer = "([^"]*)"', lambda found: f"--sheet {_quoted(found[1])}"),
    (r'date_format = "([^"]*)"', r'--date-format "\1"'),
    (r"decimal_comma = true", "--decimal-comma"),
    (r"fill_gaps_days = (\d+)", r"--fill-gaps-days \1"),
    (r"Take the `encoding` line out of this layer", "Leave --encoding out"),
    (r"It can be temperature = ([^;.]*)[^.]*\.", r"It can be \1."),
    (r"[Cc]heck the spelling of `path`", "Check the spelling"),
    (r"one of them as `layer`", "one of them with --sheet"),
    (r"`as_of` under \[season\]", "--on"),
    (r"\(as_of\)", "(--on)"),
    (r"`columns` names", "--column names"),
    (r"`columns`", "--column"),
    (r"before the equals sign", "before the equals sign of --column"),
    (r"\bdate_format\b", "--date-format"),
    (r", in the layer's unit", ""),
    (r"in the season file's folder", "in the working folder"),
    (r"the season says", "--encoding says"),
    (r"the part that the season needs, or raise max_size_mb if the machine has the memory for it", "a part"),
    (r" \(max_size_mb\)", ""),
)


@dataclass(frozen=True)
class TableFinding:
    """A finding about a table that was named on the command line.

    Parameters
    ----------
    finding
        What was noticed, in the words of a season.
    path
        The table as it was named.
    """

    finding: Finding
    path: str

    def text(self) -> str:
        """Return the paragraph a person reads."""
        what, fix = as_options(self.finding.what), as_options(self.finding.fix)
        if self.finding.layer == "catches":
            fix = fix.replace("--column ", f"--column {_CATCHES}").replace("--date-format", _CATCHES_DATES)
        return f"{self.finding.grade}: {self.path}\n  {what}\n  Fix: {fix}"


def as_options(said: str) -> str:
    """Return a sentence about a season file as one about the options of a command.

    >>> as_options('If so, add: units = {temperature = "tenths of degc"}')
    'If so, add: --temperature "tenths of degc"'
    >>> as_options('Say which one does: columns = {tmin = "TMN"}')
    'Say which one does: --column tmin=TMN'
    """
    for pattern, option in _OPTIONS:
        said = re.sub(pattern, option, said)
    return said


def told_as_options(mistake: Printable, paths: Mapping[str, str]) -> Printable:
    """Return a mistake as the command tells it; what is no finding about one of its tables stays as it is.

    Parameters
    ----------
    mistake
        A finding or a problem.
    paths
        Layer of a season -> the table that was named in its place.
    """
    if isinstance(mistake, Finding) and mistake.layer in paths:
        return TableFinding(mistake, paths[mistake.layer])
    return mistake


def _quoted(word: str) -> str:
    return f'"{word}"' if re.search(r"\s", word) else word
