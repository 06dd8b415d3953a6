"""The checks that hold one layer against another, in the order they run."""

from collections.abc import Callable

from geo_scout.layers.crosschecks.agents_alike import check_agents_alike
from geo_scout.layers.crosschecks.contradictory_visits import check_contradictory
from geo_scout.layers.crosschecks.elevation_unit import check_elevation_unit
from geo_scout.layers.crosschecks.elsewhere import check_elsewhere
from geo_scout.layers.crosschecks.far_day import check_day
from geo_scout.layers.crosschecks.far_positions import check_far
from geo_scout.layers.crosschecks.far_visits import check_far_visits
from geo_scout.layers.crosschecks.finds_before_releases import check_finds_before_releases
from geo_scout.layers.crosschecks.land_rules import check_land_rules
from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.crosschecks.loss_kinds import check_loss_kinds
from geo_scout.layers.crosschecks.missing_climate import check_climate_complete
from geo_scout.layers.crosschecks.outside_boundaries import check_inside_boundaries
from geo_scout.layers.crosschecks.overlapping_surveys import check_overlaps
from geo_scout.layers.crosschecks.release_order import check_release_order
from geo_scout.layers.crosschecks.releases_nowhere import check_releases_placed
from geo_scout.layers.crosschecks.releases_twice import check_releases_twice
from geo_scout.layers.crosschecks.repeated_records import check_repeated
from geo_scout.layers.crosschecks.slivers import check_slivers
from geo_scout.layers.crosschecks.swapped_positions import check_swapped
from geo_scout.layers.crosschecks.tmin_tmax import check_tmin_below_tmax
from geo_scout.layers.crosschecks.turned_months import check_warmest_month
from geo_scout.layers.crosschecks.unknown_signs import check_signs
from geo_scout.layers.crosschecks.visit_agents import check_visit_agents
from geo_scout.layers.crosschecks.visit_order import check_visit_order
from geo_scout.layers.crosschecks.visits_nowhere import check_visits_placed

# Swapped positions first: what is set aside there cannot be far from everything or outside a boundary.
CHECKS: tuple[Callable[[LayersRead], None], ...] = (
    check_swapped,
    check_far,
    check_day,
    check_inside_boundaries,
    check_slivers,
    check_overlaps,
    check_repeated,
    check_releases_twice,
    check_release_order,
    check_releases_placed,
    check_visit_order,
    check_finds_before_releases,
    check_visit_agents,
    check_agents_alike,
    check_contradictory,
    check_far_visits,
    check_signs,
    check_visits_placed,
    check_loss_kinds,
    check_land_rules,
    check_climate_complete,
    check_tmin_below_tmax,
    check_warmest_month,
    check_elevation_unit,
    # Last, because it takes the infestations away from the others.
    check_elsewhere,
)


def crosscheck(read: LayersRead) -> None:
    """Run every check; findings go to the layer they are about."""
    for check in CHECKS:
        check(read)
