"""Agents of a season whose names are so near that they may be one."""

from geo_scout.layers.cells.near_names import are_near
from geo_scout.layers.crosschecks.layers_read import LayersRead


def check_agents_alike(read: LayersRead) -> None:
    """Caution on two agents of the season whose names differ by a letter, a hyphen, a space or a plural.

    It is told with the first layer there is of releases, visits and infestations.
    """
    names = [agent.name for agent in read.season.agents]
    there = [name for name in ("releases", "visits") if name in read.drafts]
    about = read.about(there[0] if there else "infestations")
    for place, name in enumerate(names):
        for other in names[place + 1 :]:
            if are_near(name, other):
                what = (
                    f"the agents '{name}' and '{other}' of this season may be one: their names are nearly "
                    "the same, and each has records and sites of its own."
                )
                fix = (
                    "If they are one, write the same name in all layers and take one profile out of [season] "
                    "agents; if not, nothing."
                )
                about.say("agents-alike", "caution", what, fix)
