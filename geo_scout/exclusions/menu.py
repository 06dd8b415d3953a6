"""The limits in the order their reasons are printed."""

from collections.abc import Callable, Iterable

from geo_scout.exclusions.book import SiteBook
from geo_scout.exclusions.climate_limit import exclude_climate_limit
from geo_scout.exclusions.elevation_band import exclude_outside_elevation
from geo_scout.exclusions.establishment import exclude_confirmed, exclude_too_soon, exclude_unconfirmed
from geo_scout.exclusions.land import exclude_forbidden_land
from geo_scout.exclusions.law import exclude_forbidden_by_law
from geo_scout.exclusions.missing_layer import exclude_missing_layer
from geo_scout.exclusions.permission import exclude_refused
from geo_scout.exclusions.size import exclude_too_small
from geo_scout.exclusions.steep import exclude_too_steep
from geo_scout.exclusions.treatment import exclude_treated
from geo_scout.exclusions.wasted import exclude_wasted
from geo_scout.model.exclusion import Exclusion

Limit = Callable[[SiteBook], Iterable[Exclusion]]

LIMITS: tuple[Limit, ...] = (
    exclude_forbidden_by_law,
    exclude_refused,
    exclude_confirmed,
    exclude_wasted,
    exclude_unconfirmed,
    exclude_too_soon,
    exclude_too_small,
    exclude_forbidden_land,
    exclude_treated,
    exclude_climate_limit,
    exclude_outside_elevation,
    exclude_too_steep,
    exclude_missing_layer,
)


def exclude_all(book: SiteBook) -> list[Exclusion]:
    """Return every reason why a site of this ranking is left out, limit by limit."""
    return [exclusion for limit in LIMITS for exclusion in limit(book)]
