"""All layers of a season as read, for the checks that hold one layer against another."""

from dataclasses import dataclass, field

from geo_scout.layers.drafts import LayerDraft
from geo_scout.layers.noticed import Noticed
from geo_scout.model.layers import RasterLayer
from geo_scout.model.season import Season
from geo_scout.model.weather import DailyWeather, StationNormals


@dataclass
class LayersRead:
    """Every layer of a season, before the layers that stop are left out.

    Parameters
    ----------
    season
        The season.
    drafts
        Vector layers by name, in the working reference system unless they stop.
    rasters
        Rasters that could be described, by name.
    noticed
        What was noticed, per layer; drafts are among them.
    weather, station_normals
        Tables of stations, where there are any.
    """

    season: Season
    drafts: dict[str, LayerDraft]
    rasters: dict[str, RasterLayer]
    noticed: dict[str, Noticed] = field(default_factory=dict)
    weather: DailyWeather | None = None
    station_normals: StationNormals | None = None

    def about(self, layer: str) -> Noticed:
        """Return where findings of a layer go; a layer that is not there may have some, too."""
        return self.noticed.setdefault(layer, Noticed(layer))

    def usable(self, layer: str) -> LayerDraft | None:
        """Return a vector layer that has rows and does not stop; None otherwise."""
        draft = self.drafts.get(layer)
        return None if draft is None or draft.is_stopped or not len(draft.frame) else draft
