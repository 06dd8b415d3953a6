"""The row that names a table's columns: each name once, and names rather than values."""

import re
from collections import Counter
from collections.abc import Sequence

from geo_scout.layers.noticed import LayerRefused
from geo_scout.model.layer_table import LayerTable
from geo_scout.model.listed import listed

# A number, also with a comma or an exponent, or a day that starts or ends with its year.
_VALUE = re.compile(r"[+-]?[0-9.,]+(?:[eE][+-]?[0-9]+)?|[0-9]{4}([-/.])[0-9]{1,2}\1[0-9]{1,2}(?:[T ].*)?"
                    r"|[0-9]{1,2}([-/.])[0-9]{1,2}\2[0-9]{4}(?:[T ].*)?")  # fmt: skip
_MOST_VALUES = 0.5


def refuse_wrong_names(names: Sequence[str], table: LayerTable) -> None:
    """Refuse a table whose columns cannot be told apart, or whose first row holds values.

    Parameters
    ----------
    names
        The row that should name the columns; a column without a name has "".
    table
        The layer's settings.

    Raises
    ------
    LayerRefused
        A name comes twice, or more than half of the names are numbers or dates.
    """
    filled = [name for name in names if name]
    values = [name for name in filled if _VALUE.fullmatch(name)]
    if len(values) > _MOST_VALUES * len(filled):
        what = f"'{table.path}' begins with values ({listed(filled, 5)}) instead of the names of its columns."
        fix = "Put a row above them that names each column."
        raise LayerRefused(what, code="header-missing", fix=fix)
    repeated = [name for name, times in Counter(filled).items() if times > 1]
    if repeated:
        what = f"'{table.path}' has more than one column called {listed(repeated)}."
        raise LayerRefused(what, code="column-repeated", fix="Give each column a name of its own.")
