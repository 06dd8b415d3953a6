"""Work on many shapes in parts at once: the geometry libraries let go of Python while they compute."""

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

Result = TypeVar("Result")

FEW = 30_000
_MOST_WORKERS = 4


def in_parts(work: Callable[[NDArray[Any]], Result], items: NDArray[Any], few: int = FEW) -> list[Result]:
    """Return the work done on consecutive parts of an array, in their order.

    Fewer than ``few`` items are one part: a thread has to open its own libraries' tables first, which costs
    more than it saves. The first part is done by the caller's own thread. What is computed for an item must
    not depend on the part it is in, so that every machine gives the same answer.

    Examples
    --------
    >>> [part.tolist() for part in in_parts(lambda part: part * 2, np.arange(3))]
    [[0, 2, 4]]
    """
    workers = min(os.cpu_count() or 1, _MOST_WORKERS)
    if len(items) < few or workers == 1:
        return [work(items)]
    first, *rest = np.array_split(items, workers)
    with ThreadPoolExecutor(workers - 1) as pool:
        others = pool.map(work, rest)
        return [work(first), *others]
