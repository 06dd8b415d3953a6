"""What a check does not look at: said every time, so that silence is not taken for a clean bill."""

from geo_scout.model.columns import LAYERS
from geo_scout.model.season import Season

NEVER: tuple[str, ...] = (
    "whether weeds, agents and places are what the layers call them: names are only compared.",
    "whether an outline or a point is where the thing is: no picture of the ground is read.",
    "how true covers, counts, areas and dates are, beyond what is possible at all.",
    "every cell of a raster: values are looked at in 25 small windows and under the sites.",
    "which unit a raster is in where two are possible: elevation in feet reads as higher land in metres.",
    "features one by one beyond the first hundred of a kind: the rest are counted.",
    "whether roads join, boundaries leave gaps, or land classes overlap.",
    "whether what the profiles say of biology and law is so.",
)
_STOPPED = (
    "the rasters under the sites, and surveys that newer ones replace: a layer above stops, so no site was "
    "made."
)


def not_looked_at(season: Season, *, is_stopped: bool) -> tuple[str, ...]:
    """Return what a check of this season leaves unsaid, one sentence each.

    Parameters
    ----------
    season
        The season.
    is_stopped
        Whether a layer stops, so that sites could not be made.
    """
    given = season.settings.layers.given()
    has_monthly = all(name in given for name in ("tmin", "tmax", "precipitation"))
    needless = (
        {"bioclim"} if has_monthly else {"tmin", "tmax", "precipitation"} if "bioclim" in given else set()
    )
    off = [
        f"{name}: the season has no such layer; {kind.without}."
        for name, kind in LAYERS.items()
        if name not in given and name not in needless
    ]
    return (*NEVER, *((_STOPPED,) if is_stopped else ()), *off)
