"""Rules about land without a layer that says where the land is."""

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.model.listed import listed


def check_land_rules(read: LayersRead) -> None:
    """Caution where the season rules land classes but has no layer of them."""
    rules = read.season.rules.land_classes
    if not rules or "land_classes" in read.drafts:
        return
    what = (
        f"rules.land_classes names {listed([repr(name) for name in rules])}, but the season has no layer of "
        "land classes: nothing is forbidden, asked about or preferred."
    )
    read.about("land_classes").say("rule-without-layer", "caution", what, "Add [layers.land_classes].")
