"""Kinds of treatment that the season takes for the end of a population, and no treatment has."""

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.wording import did_you_mean
from geo_scout.model.folded import folded
from geo_scout.model.listed import listed


def check_loss_kinds(read: LayersRead) -> None:
    """Caution on loss kinds that the treatments layer does not know."""
    treatments = read.usable("treatments")
    if treatments is None:
        return
    kinds = {folded(str(kind)): str(kind) for kind in treatments.texts("kind")}
    for kind in read.season.settings.records.loss_kinds:
        if folded(kind) not in kinds:
            what = (
                f"records.loss_kinds names '{kind}', and no treatment is of that kind; its kinds are "
                f"{listed(sorted(kinds.values()))}."
            )
            fix = f"Correct it under [records], or the kind in the layer.{did_you_mean(kind, kinds.values())}"
            treatments.say("loss-kind-unused", "caution", what, fix)
