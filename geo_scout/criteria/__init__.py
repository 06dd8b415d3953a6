"""A menu of criteria, one module each.

Each module has exactly four things: ``NEEDS`` (names from ``model.quantities``), ``UNIT``,
``measure(columns)`` in physical units, and ``describe(value, index)`` in words. Criteria never
import each other.
"""

from geo_scout.criteria.menu import describe_measure, measure_all, measure_column, needs_of

__all__ = ["describe_measure", "measure_all", "measure_column", "needs_of"]
