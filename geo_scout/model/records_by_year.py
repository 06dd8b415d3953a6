"""What the records of one agent said at the end of each year that is past."""

from dataclasses import dataclass

import pandas as pd


@dataclass(frozen=True)
class RecordsByYear:
    """Releases and confirmed populations as they stood at the ends of the calendar years before ``as_of``.

    Parameters
    ----------
    years
        Calendar years without gaps, from that of the first release or find to the last before ``as_of``; the
        records of the season itself tell of its own.
    releases
        A row for each release and year-end from its own on at which it said something new: ``release_id``,
        ``year``, ``outcome`` (of the visits up to then) and ``state`` (of its place, by all records up to
        then; one of ``model.presence.STATES``). By year, in the order of the season's releases.
    populations
        In the same way ``population_id``, ``year``, ``first_found``, ``last_found`` (dates),
        ``latest_result`` and ``release_ids`` of the populations confirmed by then.
    """

    years: range
    releases: pd.DataFrame
    populations: pd.DataFrame
