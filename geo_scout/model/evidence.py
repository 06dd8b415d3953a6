"""What the records say of one agent: releases, visits, confirmed populations, each patch."""

from dataclasses import dataclass, field

import geopandas as gpd
import pandas as pd

from geo_scout.model.finding import Finding
from geo_scout.model.outcome_rates import OutcomeRates

OUTCOMES = ("not visited", "found too early", "not found", "found")
"""What visits say of a release, each more than those before it."""


@dataclass(frozen=True)
class Evidence:
    """The records of one agent held against the patches of its host.

    Parameters
    ----------
    agent
        Name of the agent.
    releases
        The agent's releases with ``outcome`` ("found", "not found", "found too early", "not visited"),
        ``visits`` (number), ``last_visit`` (date), ``year_found`` (nan), ``site_id`` (its patch, or ""),
        ``place_id`` (``site_id``, or "at release ID" outside every patch), and of their place ``state``,
        ``state_year``, ``state_words``, ``presence_low_share``, ``presence_share``, ``presence_high_share``;
        ``district`` ("" unmapped) and ``lost_on`` (days that ended what lived there, since the release).
    visits
        The agent's visits with ``site_id``, ``found``, ``confirms``, ``years_since_release`` and
        ``says_nothing`` (why a visit changes nothing; "" where it does).
    populations
        Confirmed populations, one row each: ``population_id``, ``name``, ``site_id`` ("" outside
        every patch), ``first_found``, ``last_found`` (dates), ``found_by`` (visit ids, text),
        ``release_ids`` (text), ``latest_result`` ("found" or "not found on DATE"), ``is_lost`` (its chance
        has fallen below ``lost_below_share``, or its host was destroyed since), geometry: the patch, or the
        point.
    sites
        One row per patch in the order of ``Sites.patches``: ``site_id``, ``population_id`` (nearest,
        "" none; of those not lost), ``population_name``, ``population_distance_km`` (nan none),
        ``confirmed`` (in the patch, and not lost), ``confirmed_year`` (nan), ``confirmed_by`` (text),
        ``latest_result`` (text),
        ``release_ids`` (in the patch, text), ``unvisited_release_ids`` (text), ``first_release``,
        ``latest_release`` (dates), ``request_ids``, ``purpose`` (new, supplement, nursery),
        ``host_around_ha`` (nan: no spread in the profile), ``host_around_low_ha``, ``host_around_high_ha``
        (with the lowest and highest covers of all other patches), ``last_visit`` (date), ``state`` (one of
        ``model.presence.STATES``), ``state_year`` (nan none), ``state_words`` (the state with its year and
        what it rests on), ``presence_low_share``, ``presence_share``, ``presence_high_share`` (chance that
        the agent lives there at ``as_of``), ``gap_crossed`` (whether the way from the nearest confirmed
        population is one the agent crosses: yes, no, not known, or "" without a population).
    supply
        What each patch could yield, rows as in ``sites``; columns ``model.supply.SUPPLY_COLUMNS``.
    rates
        By district and for all: what share of releases established.
    findings
        What was noticed on the way, for example requests that no patch carries.
    """

    agent: str
    releases: gpd.GeoDataFrame
    visits: gpd.GeoDataFrame
    populations: gpd.GeoDataFrame
    sites: pd.DataFrame
    findings: tuple[Finding, ...] = ()
    supply: pd.DataFrame = field(default_factory=pd.DataFrame)
    rates: tuple[OutcomeRates, ...] = ()
