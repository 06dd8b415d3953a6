"""Rules of the land classes layer: its classes and the season's rules have to meet."""

from geo_scout.layers.cells.text_values import each_once
from geo_scout.layers.drafts import LayerDraft
from geo_scout.layers.wording import did_you_mean
from geo_scout.model.folded import folded
from geo_scout.model.listed import listed


def check_land_classes(draft: LayerDraft) -> None:
    """Spell classes as the season's rules do; say which class has no rule and which rule no land."""
    rules = {folded(name): name for name in draft.season.rules.land_classes}
    written = draft.texts("class")
    draft.frame["class"] = each_once(written, lambda text: rules.get(folded(text), text))
    in_file = {folded(text): str(text) for text in written}
    unruled = sorted(name for key, name in in_file.items() if key not in rules)
    if unruled:
        what = f"these classes have no rule and so no effect: {listed(unruled)}."
        fix = f'For each: [rules] land_classes = {{{_key(unruled[0])} = "forbid"}}, "ask" or "prefer".'
        draft.say("class-without-rule", "note", what, fix)
    for key, name in rules.items():
        if key not in in_file:
            what = f"rules.land_classes names '{name}', but no land of the layer has this class."
            fix = f"Write it as the layer does.{did_you_mean(name, in_file.values())}"
            draft.say("class-absent", "caution", what, fix)


def _key(name: str) -> str:
    return name if name.replace("-", "").replace("_", "").isalnum() and name.isascii() else f'"{name}"'
