"""Weights from comparing criteria two at a time, and how well the judgements agree with each other."""

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]

# Mean consistency index of random judgements, from one criterion on. Of the table of 1980, nine and ten
# criteria are from memory.
RANDOM_INDEX = {
    "saaty_1980": (0.0, 0.0, 0.58, 0.90, 1.12, 1.24, 1.32, 1.41, 1.45, 1.49),
    "saaty_2005": (
        *(0.0, 0.0, 0.52, 0.89, 1.11, 1.25, 1.35, 1.40, 1.45, 1.49),
        *(1.52, 1.54, 1.56, 1.58, 1.59),
    ),
}

ACCEPTED_RATIO = 0.10  # Saaty 1980: up to here judgements are consistent enough

_SCALE = np.append(1 / np.arange(9.0, 1.0, -1.0), np.arange(1.0, 10.0))
_SAME = 1e-9  # judgements whose errors differ by less are equally far off: it is the eigensolver's rounding


class PairwiseWeights(NamedTuple):
    """Weights from judgements, and how consistent the judgements are.

    Parameters
    ----------
    weights
        (k,) weights that sum to 1 [share].
    lambda_max
        The largest eigenvalue; k when the judgements agree entirely [1].
    consistency_index
        (lambda_max - k) / (k - 1); 0 for one or two criteria [1].
    random_index
        What the index is on average for random judgements, from the table asked for [1].
    consistency_ratio
        consistency_index / random_index; 0 for one or two criteria. Up to 0.10 is accepted [1].
    """

    weights: FloatArray
    lambda_max: float
    consistency_index: float
    random_index: float
    consistency_ratio: float


class InconsistentJudgement(NamedTuple):
    """The judgement that agrees least with all of them together, and what would mend it.

    Parameters
    ----------
    first, second
        The two criteria, numbered from 0, `first` before `second`.
    judged
        How many times as important as `second` `first` was said to be [1].
    implied
        The ratio of their weights [1].
    error_factor
        By what factor the two differ, whichever is larger above [1].
    mended
        What all the other judgements say of this pair [1].
    mended_on_scale
        The nearest whole number from 1 to 9, or one divided by it [1].
    ratio_after
        Consistency ratio when `mended_on_scale` takes the place of `judged`; compare it with the present one
        before suggesting anything [1].
    equally_far
        How many judgements are as far off as this one, which is the first of them; with three criteria it is
        always all three.
    """

    first: int
    second: int
    judged: float
    implied: float
    error_factor: float
    mended: float
    mended_on_scale: float
    ratio_after: float
    equally_far: int


def reciprocal_matrix(count: int, first: ArrayLike, second: ArrayLike, judged: ArrayLike) -> FloatArray:
    """Return the matrix of judgements, with 1 on the diagonal and 1 / judgement on the other side.

    Parameters
    ----------
    count
        How many criteria are compared.
    first, second
        Criteria of each judgement, numbered from 0, (count (count - 1) / 2,): each pair once, either way.
    judged
        How many times as important as `second` `first` is, same shape; below 1 where it is less [1].

    Returns
    -------
    numpy.ndarray
        (count, count) [1].

    Raises
    ------
    ValueError
        A pair is missing, given twice, compares a criterion with itself or one that is not there, or a
        judgement is not a finite number above 0.

    Examples
    --------
    >>> reciprocal_matrix(3, first=[0, 2, 1], second=[1, 0, 2], judged=[2, 0.25, 4]).tolist()
    [[1.0, 2.0, 4.0], [0.5, 1.0, 4.0], [0.25, 0.25, 1.0]]
    """
    rows, columns = np.asarray(first, dtype=np.intp), np.asarray(second, dtype=np.intp)
    ratios = np.asarray(judged, dtype=np.float64)
    if not (np.isfinite(ratios) & (ratios > 0)).all():
        message = "a judgement must be a finite number above 0"
        raise ValueError(message)
    matrix = np.eye(count)
    seen = np.eye(count, dtype=np.int64)
    for row, column, ratio in zip(rows.tolist(), columns.tolist(), ratios.tolist(), strict=True):
        if not (0 <= row < count and 0 <= column < count) or seen[row, column]:
            message = f"the comparison of criteria {row} and {column} comes twice or is not of two criteria"
            raise ValueError(message)
        seen[row, column] = seen[column, row] = 1
        matrix[row, column], matrix[column, row] = ratio, 1 / ratio
    if not seen.all():
        row, column = np.argwhere(seen == 0)[0].tolist()
        message = f"criteria {row} and {column} are not compared; every pair needs one judgement"
        raise ValueError(message)
    return matrix


def pairwise_weights(matrix: ArrayLike, table: str = "saaty_1980") -> PairwiseWeights:
    """Return the weights that a matrix of judgements stands for, and their consistency.

    Parameters
    ----------
    matrix
        Judgements, (k, k): how many times as important as the criterion of the column that of the row
        is; positive and reciprocal [1].
    table
        Which table of random indices: "saaty_1980" (to 10 criteria) or "saaty_2005" (to 15). The ratio of
        the same judgements differs by up to a tenth between them, so name the table beside it.

    Raises
    ------
    ValueError
        The matrix is not square, positive and reciprocal, or the table is unknown or too short.

    Notes
    -----
    The weights are the principal right eigenvector. A judgement missing from the matrix is an error.

    References
    ----------
    Saaty, T. L. 1980. The Analytic Hierarchy Process. McGraw-Hill. Saaty, T. L. 2005. Theory and Applications
    of the Analytic Network Process. RWS Publications.

    Examples
    --------
    >>> found = pairwise_weights([[1, 2, 4], [1 / 2, 1, 2], [1 / 4, 1 / 2, 1]])
    >>> found.weights.round(4).tolist(), round(found.consistency_ratio, 6)
    ([0.5714, 0.2857, 0.1429], 0.0)
    """
    judgements = _checked_matrix(matrix)
    count = len(judgements)
    random_index = _random_index(count, table)
    lambda_max, weights = _principal(judgements)
    # Rounding may put the eigenvalue of entirely consistent judgements a hair below their number.
    index = max(0.0, (lambda_max - count) / (count - 1)) if count > 2 else 0.0
    ratio = index / random_index if count > 2 else 0.0
    return PairwiseWeights(weights, lambda_max, index, random_index, ratio)


def most_inconsistent(matrix: ArrayLike, table: str = "saaty_1980") -> InconsistentJudgement | None:
    """Return the judgement that is furthest from the ratio of the weights; None where all agree.

    Parameters
    ----------
    matrix
        Judgements, (k, k), positive and reciprocal [1].
    table
        The table of random indices behind `ratio_after`.

    Raises
    ------
    ValueError
        As for `pairwise_weights`.

    Notes
    -----
    Furthest is the largest of a_ij w_j / w_i and its reciprocal. The mended value is found without the
    judgement in question: its two places in the matrix become 0, the two places of the diagonal 2, and the
    ratio of the new weights is what the others say. Put in place of the judgement it is exactly the ratio of
    the weights that come out. It is not the value with the smallest consistency ratio, though near it, and
    mending one judgement need not be enough: ask again of the mended matrix.

    References
    ----------
    Saaty, T. L. 2003. Decision-making with the AHP: why is the principal eigenvector necessary. European
    Journal of Operational Research 145: 85-91. Harker, P. T. 1987. Incomplete pairwise comparisons in the
    analytic hierarchy process. Mathematical Modelling 9: 837-848 (both from memory).

    Examples
    --------
    >>> matrix = [[1, 2, 1, 8], [1 / 2, 1, 2, 4], [1, 1 / 2, 1, 2], [1 / 8, 1 / 4, 1 / 2, 1]]
    >>> found = most_inconsistent(matrix)
    >>> (found.first, found.second, found.judged, round(found.mended, 6), round(found.ratio_after, 6))
    (0, 2, 1.0, 4.0, 0.0)
    """
    judgements = _checked_matrix(matrix)
    _, weights = _principal(judgements)
    implied = weights[:, None] / weights[None, :]
    errors = np.exp(np.abs(np.triu(np.log(judgements / implied))))
    largest = errors.max()
    if largest <= 1 + _SAME:
        return None
    equal = np.argwhere(errors >= largest * (1 - _SAME))
    first, second = equal[0].tolist()
    mended = _said_by_the_others(judgements, first, second)
    on_scale = float(_SCALE[np.abs(np.log(_SCALE / mended)).argmin()])
    after = judgements.copy()
    after[first, second], after[second, first] = on_scale, 1 / on_scale
    return InconsistentJudgement(
        first,
        second,
        float(judgements[first, second]),
        float(implied[first, second]),
        float(errors[first, second]),
        mended,
        on_scale,
        pairwise_weights(after, table).consistency_ratio,
        len(equal),
    )


def _said_by_the_others(judgements: FloatArray, first: int, second: int) -> float:
    without = judgements.copy()
    without[first, second] = without[second, first] = 0
    without[first, first] = without[second, second] = 2
    _, weights = _principal(without)
    return float(weights[first] / weights[second])


def _principal(matrix: FloatArray) -> tuple[float, FloatArray]:
    values, vectors = np.linalg.eig(matrix)
    # A matrix of positive judgements has one real eigenvalue above all others and a vector of one sign.
    position = int(np.argmax(values.real))
    vector = np.abs(vectors[:, position].real)
    return float(values[position].real), np.asarray(vector / vector.sum(), dtype=np.float64)


def _random_index(count: int, table: str) -> float:
    if table not in RANDOM_INDEX:
        message = f"there is no table '{table}' of random indices; the tables are {', '.join(RANDOM_INDEX)}"
        raise ValueError(message)
    if count > len(RANDOM_INDEX[table]):
        message = f"the table {table} reaches to {len(RANDOM_INDEX[table])} criteria, not {count}; use groups"
        raise ValueError(message)
    return RANDOM_INDEX[table][count - 1]


def _checked_matrix(matrix: ArrayLike) -> FloatArray:
    judgements = np.asarray(matrix, dtype=np.float64)
    if judgements.ndim != 2 or judgements.shape[0] != judgements.shape[1] or not judgements.size:
        message = f"judgements make a square, not a table of shape {judgements.shape}"
        raise ValueError(message)
    if not (np.isfinite(judgements) & (judgements > 0)).all():
        message = "every judgement must be a finite number above 0"
        raise ValueError(message)
    wrong = np.abs(judgements * judgements.T - 1) > 1e-6
    if wrong.any():
        row, column = np.argwhere(wrong)[0].tolist()
        message = (
            f"row {row}, column {column} is {judgements[row, column]:g}, but column and row changed it is "
            f"{judgements[column, row]:g}, not one divided by it"
        )
        raise ValueError(message)
    return judgements
