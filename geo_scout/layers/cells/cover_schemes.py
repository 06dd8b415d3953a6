"""The cover schemes a season knows: the published ones and its own."""

from collections.abc import Mapping

from geo_scout.formulas.cover_classes import SCHEMES, CoverScheme
from geo_scout.model.season import Season

CLASS = "class:"


def schemes_of(season: Season) -> Mapping[str, CoverScheme]:
    """Return scheme name -> scheme; a season's own classes are in percent there and shares here."""
    own = {
        name: CoverScheme(
            name=name,
            source=f"[cover_schemes.{name}] of the season file",
            classes={
                label: (low / 100.0, middle / 100.0, high / 100.0)
                for label, (low, middle, high) in classes.items()
            },
        )
        for name, classes in season.settings.cover_schemes.items()
    }
    return {**SCHEMES, **own}
