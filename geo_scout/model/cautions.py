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
    "Before you go, check: permits and law with the authority in charge; permission of whoever owns or "
    "manages the land; agent and host identified by someone qualified; clean gear, so that no seeds, soil or "
    "other insects travel; heat, terrain and weather; pesticide re-entry times. "
    "Local rules and permits come first."
)
"""The standing cautions in one line, for every row of a table that leaves the house; it claims nothing."""

PERMISSION_UNKNOWN = "Permission unknown: call the manager first."
PERMISSION_REFUSED = "Permission refused: do not go."


def before_you_go(question: str, permission: str) -> str:
    """Return what to check before going to one site: what is open there first, then the standing cautions.

    Parameters
    ----------
    question
        The open question about the law, beginning STOP AND ASK; empty where there is none.
    permission
        The manager's answer: yes, no, unknown; empty where the copy withholds it.

    Examples
    --------
    >>> before_you_go("STOP AND ASK: the status is unknown.", "unknown").partition(" Before")[0]
    'STOP AND ASK: the status is unknown. Permission unknown: call the manager first.'
    """
    answers = {"unknown": PERMISSION_UNKNOWN, "no": PERMISSION_REFUSED}
    return " ".join(part for part in (question, answers.get(permission, ""), BEFORE_YOU_GO) if part)
