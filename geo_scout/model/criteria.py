"""Which criteria there are, for which ranking, with their default weight and value curve.

Adding a criterion: a settings class here with a line in the tables that use it, one module in
the criteria room, one test file.
"""

from typing import Literal

from geo_scout.model.setting import Numbers, Table, setting, table

Role = Literal["release", "source"]
ROLES: tuple[Role, ...] = ("release", "source")
ROLE_NOUNS: dict[Role, str] = {"release": "release sites", "source": "sources"}
Shape = Literal["rising", "falling", "plateau", "s_shaped", "steps"]
Direction = Literal["rising", "falling"]

OUR_CHOICE = "our choice; set it for your weed and country"


class Curve(Table):
    """How a measure becomes a value from 0 (no good) to 1 (as good as it gets)."""

    shape: Shape = setting(..., meaning="rising, falling, plateau, s_shaped or steps")
    start: float | None = setting(
        None,
        alias="from",
        meaning="needed but for steps; rising, plateau and s_shaped: worth 0 up to here; falling, also "
        "s_shaped: worth 1 up to here",
        unit="of the measure",
    )
    end: float | None = setting(
        None,
        alias="to",
        meaning="needed but for steps; rising, also s_shaped: worth 1 from here; falling, also s_shaped, and "
        "plateau: worth 0 from here",
        unit="of the measure",
    )
    full_from: float | None = setting(None, meaning="plateau only: worth 1 from here", unit="of the measure")
    full_to: float | None = setting(None, meaning="plateau only: worth 1 up to here", unit="of the measure")
    direction: Direction | None = setting(
        None, meaning="s_shaped only: which way it goes; rising when left out"
    )
    limits: Numbers | None = setting(
        None,
        meaning="steps only: where one step ends and the next begins, rising; a measure equal to a limit "
        "stands on the step above it",
        unit="of the measure",
    )
    levels: Numbers | None = setting(
        None,
        meaning="steps only: value of each step, 0 to 1, one more than limits: first that below them all",
    )

    @property
    def places(self) -> tuple[float, ...]:
        """Limits in the order in which the formula of this shape takes them [unit of the measure]."""
        if self.shape == "steps":
            return self.limits or ()
        falls = self.shape == "s_shaped" and self.direction == "falling"
        stated = (self.start, self.full_from, self.full_to, self.end)
        found = tuple(place for place in stated if place is not None)
        return found[::-1] if falls else found


def _curve(shape: Shape, start: float, end: float) -> Curve:
    return Curve(shape=shape, start=start, end=end)


class Criterion(Table):
    """One criterion of one ranking."""

    weight: float = setting(
        1.0, meaning="importance relative to the other criteria", least=0.0, source=OUR_CHOICE
    )
    curve: Curve = setting(..., meaning="value curve")


class HostArea(Criterion):
    """Infested area of the patch [ha]."""

    weight: float = setting(3.0, meaning="importance relative to the others", least=0.0, source=OUR_CHOICE)
    curve: Curve = setting(
        _curve("rising", 0.0, 5.0), meaning="value curve of the infested area", unit="ha", source=OUR_CHOICE
    )


class HostCover(Criterion):
    """Canopy cover of the host in the patch [pct]."""

    curve: Curve = setting(
        _curve("rising", 0.0, 50.0), meaning="value curve of the canopy cover", unit="pct", source=OUR_CHOICE
    )


class HostAround(Criterion):
    """Infested area of other patches the agent can reach [ha]."""

    curve: Curve = setting(
        _curve("rising", 0.0, 20.0), meaning="value curve of the host around", unit="ha", source=OUR_CHOICE
    )


class CrewDistance(Criterion):
    """Geodesic distance to the nearest crew base [km]."""

    weight: float = setting(2.0, meaning="importance relative to the others", least=0.0, source=OUR_CHOICE)
    curve: Curve = setting(
        _curve("falling", 0.0, 60.0), meaning="value curve of the distance", unit="km", source=OUR_CHOICE
    )


class PopulationDistance(Criterion):
    """Distance, edge to edge, to the nearest confirmed population [km]."""

    curve: Curve = setting(
        _curve("rising", 0.0, 20.0),
        meaning="value curve of the distance; rising sends agents where they would not arrive by themselves",
        unit="km",
        source=OUR_CHOICE,
    )


class WastedChance(Criterion):
    """Chance that agents released in the patch are wasted, because others live there already [share]."""

    curve: Curve = setting(
        _curve("falling", 0.0, 1.0),
        meaning="value curve of the chance that the agents are wasted",
        unit="share",
        source=OUR_CHOICE,
    )


class ClimateGap(Criterion):
    """Climate gap to the best-matching population [regional distance, no unit]."""

    weight: float = setting(2.0, meaning="importance relative to the others", least=0.0, source=OUR_CHOICE)
    curve: Curve = setting(
        _curve("falling", 0.0, 3.0), meaning="value curve of the climate gap", source=OUR_CHOICE
    )


class ElevationDifference(Criterion):
    """Elevation difference to the nearest population in elevation [m]."""

    curve: Curve = setting(
        _curve("falling", 0.0, 600.0),
        meaning="value curve of the elevation difference",
        unit="m",
        source=OUR_CHOICE,
    )


class PreferredLand(Criterion):
    """Share of the patch on land the season prefers [pct]."""

    curve: Curve = setting(
        _curve("rising", 0.0, 100.0),
        meaning="value curve of the share on preferred land",
        unit="pct",
        source=OUR_CHOICE,
    )


class Slope(Criterion):
    """Mean slope of the patch, for crews on foot [deg]."""

    curve: Curve = setting(
        _curve("falling", 10.0, 35.0), meaning="value curve of the mean slope", unit="deg", source=OUR_CHOICE
    )


class AspectMatch(Criterion):
    """How far the patch faces the way the agent prefers, from -1 to 1."""

    curve: Curve = setting(
        _curve("rising", -1.0, 1.0),
        meaning="value curve of how far the ground faces the preferred way: 1 wholly, 0 flat, -1 away",
        source=OUR_CHOICE,
    )


class HeatLoad(Criterion):
    """Mean heat load of the patch [MJ/cm2/yr, as an index]."""

    curve: Curve = setting(..., meaning="value curve of the heat load; no curve fits every agent")


class RelativePosition(Criterion):
    """Mean height of the patch above the ground around it [m]."""

    curve: Curve = setting(
        ..., meaning="value curve of the height above the surroundings; no curve fits every agent", unit="m"
    )


class ReleaseCriteria(Table):
    """Criteria of the ranking of release sites."""

    host_area: HostArea | None = setting(None, meaning="infested area of the patch")
    host_cover: HostCover | None = setting(None, meaning="canopy cover of the host")
    host_around: HostAround | None = setting(None, meaning="host the agent can reach from here")
    crew_distance: CrewDistance | None = setting(None, meaning="distance to the nearest crew base")
    population_distance: PopulationDistance | None = setting(
        None, meaning="distance to the nearest confirmed population"
    )
    wasted_chance: WastedChance | None = setting(
        None, meaning="chance that the agents are wasted, because some live there already"
    )
    climate_gap: ClimateGap | None = setting(None, meaning="climate gap to the best-matching population")
    elevation_difference: ElevationDifference | None = setting(
        None, meaning="elevation difference to the nearest population in elevation"
    )
    preferred_land: PreferredLand | None = setting(None, meaning="share on land the season prefers")
    slope: Slope | None = setting(None, meaning="mean slope of the ground")
    aspect_match: AspectMatch | None = setting(
        None, meaning="how well the slope faces the agent's preferred aspect"
    )
    heat_load: HeatLoad | None = setting(
        None, meaning="heat load of the ground by slope, aspect and latitude"
    )
    relative_position: RelativePosition | None = setting(
        None, meaning="height above or below the ground around"
    )


class SourceCriteria(Table):
    """Criteria of the ranking of collection sources."""

    host_area: HostArea | None = setting(None, meaning="infested area of the patch")
    host_cover: HostCover | None = setting(None, meaning="canopy cover of the host")
    host_around: HostAround | None = setting(None, meaning="host the agent can reach from here")
    crew_distance: CrewDistance | None = setting(None, meaning="distance to the nearest crew base")
    preferred_land: PreferredLand | None = setting(None, meaning="share on land the season prefers")
    slope: Slope | None = setting(None, meaning="mean slope of the ground")


def default_release_criteria() -> ReleaseCriteria:
    """Return the criteria of a season that names none for releasing."""
    return ReleaseCriteria(
        host_area=HostArea(),
        host_cover=HostCover(),
        host_around=HostAround(),
        crew_distance=CrewDistance(),
        climate_gap=ClimateGap(),
    )


def default_source_criteria() -> SourceCriteria:
    """Return the criteria of a season that names none for collecting."""
    return SourceCriteria(host_area=HostArea(), host_cover=HostCover(), crew_distance=CrewDistance())


class CriteriaTables(Table):
    """Criteria and weights of the two rankings, which are separate on purpose."""

    release: ReleaseCriteria = table(default_release_criteria, meaning="criteria for release sites")
    source: SourceCriteria = table(default_source_criteria, meaning="criteria for collection sources")

    def of(self, role: Role) -> dict[str, Criterion]:
        """Return the criteria in use for a role, by name, in the order of the settings."""
        chosen: Table = self.release if role == "release" else self.source
        pairs = ((name, getattr(chosen, name)) for name in type(chosen).model_fields)
        return {name: criterion for name, criterion in pairs if criterion is not None}
