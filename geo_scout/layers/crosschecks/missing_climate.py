"""Climate that the season compares but its rasters do not hold."""

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.model.listed import listed

MONTHLY = ("tmin", "tmax", "precipitation")


def check_climate_complete(read: LayersRead) -> None:
    """Caution where variables compared are in no band, or a monthly raster lacks its companions."""
    bioclim = read.rasters.get("bioclim")
    if bioclim is not None:
        wanted = dict.fromkeys(
            name
            for agent in read.season.agents
            for name in agent.climate.variables or read.season.settings.climate.variables
        )
        absent = [name for name in wanted if name not in bioclim.bands]
        if absent:
            what = f"the climate gap compares {listed(absent)}, which no band holds."
            fix = "Add the bands, or compare others: variables under [climate] or in the agent's profile."
            read.about("bioclim").say("variable-absent", "caution", what, fix)
        return
    given = [name for name in MONTHLY if name in read.season.settings.layers.given()]
    if given and len(given) < len(MONTHLY):
        lacking = [name for name in MONTHLY if name not in given]
        what = f"the season has no {' and no '.join(lacking)}, so there is no climate gap."
        fix = " ".join(f"Add [layers.{name}]." for name in lacking)
        read.about(given[0]).say("climate-incomplete", "caution", what, fix)
