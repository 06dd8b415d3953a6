"""Signs that visits name and the profile of their agent does not have."""

import numpy as np

from geo_scout.layers.crosschecks.layers_read import LayersRead
from geo_scout.layers.kinds.point_records import agents_of
from geo_scout.layers.wording import did_you_mean
from geo_scout.model.folded import folded
from geo_scout.model.listed import listed


def check_signs(read: LayersRead) -> None:
    """Caution on each sign that is none of its agent's profile, where that profile states any."""
    visits = read.usable("visits")
    if visits is None:
        return
    agents, written = agents_of(visits), visits.texts("sign")
    words = np.array([folded(text) for text in written], dtype=object)
    for agent in read.season.agents:
        names = [sign.name for sign in agent.signs]
        if not names:
            continue
        of_agent = (agents == folded(agent.name)) & (words != "")
        for word in sorted(set(words[of_agent]) - {folded(name) for name in names}):
            rows = np.asarray(of_agent & (words == word), dtype=bool)
            verb = "goes" if rows.sum() == 1 else "go"
            what = (
                f"sign '{written[rows][0]}' is none of the profile of '{agent.name}' ({listed(names)}); "
                f"{visits.told(rows, 'visit')} {verb} by the method alone."
            )
            fix = f"Write one of its signs, or add the sign to the profile.{did_you_mean(word, names)}"
            visits.say("sign-unknown", "caution", what, fix)
