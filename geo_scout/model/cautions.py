"""The standing cautions every output for people carries, in short. Common practice, not legal advice."""

STANDING_CAUTIONS: tuple[str, ...] = (
    "Permits and legal status: check them with the authority in charge before any agent is collected, "
    "moved or released; crossing a boundary often needs a permit of its own.",
    "Land: go only with the landowner's or manager's permission, for access and for the release.",
    "Identification: someone qualified confirms agent and host before anything moves, and checks for "
    "protected or closely related native plants near a release.",
    "Clean transfer: nothing else travels: no seeds, plant parts, soil, parasites or other insects.",
    "Heat, terrain and weather: carry water, shade and a way to call; turn back when it is unsafe.",
    "Pesticides: ask what was sprayed and keep to the re-entry time on the label.",
    "Mouth aspirators draw dust and insect parts: use a pump, a filter or another method.",
    "Local rules, permits and licensed practice always come before this list.",
)

BEFORE_YOU_GO = (
    "Permits and law checked; permission given; agent and host identified by someone qualified; "
    "no seeds, soil or other insects carried; heat, terrain and weather; pesticide re-entry times. "
    "Local rules and permits come first."
)
"""The standing cautions in one line, for every row of a table that leaves the house."""
