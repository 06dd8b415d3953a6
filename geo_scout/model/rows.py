"""The rows of a table one after another."""

from collections.abc import Iterator
from typing import Any

import pandas as pd


def each_row(frame: pd.DataFrame) -> Iterator[Any]:
    """Yield every row with its columns as attributes.

    >>> [row.site_id for row in each_row(pd.DataFrame({"site_id": ["A-1", "A-2"]}))]
    ['A-1', 'A-2']
    """
    yield from frame.itertuples(index=False)
