"""How release and visit records are read together, and what their chances are called."""

from geo_scout.model.criteria import OUR_CHOICE
from geo_scout.model.setting import Table, Texts, setting


class RecordsTable(Table):
    """How records are joined, and from which chance on which word is used."""

    link_m: float | None = setting(
        None,
        meaning="a visit that names no release is joined to the nearest earlier release of its agent within "
        "this distance; left out, it counts for its place alone",
        unit="m",
        source="no published distance; off unless you set one",
        above=0.0,
        most=10000.0,
    )
    link_days: int = setting(
        30,
        meaning="a visit that names its release by date (release_date) is joined when the dates differ by no "
        "more than this",
        unit="days",
        source=OUR_CHOICE,
        least=0,
        most=366,
    )
    blank_effort_hours: float | None = setting(
        None,
        meaning="effort of a visit that has none written down; left out, such a visit that found nothing "
        "changes nothing",
        unit="hours",
        source="nothing is assumed unless you say so",
        above=0.0,
        most=1000.0,
    )
    independent_releases: bool = setting(
        False,
        meaning="releases in one patch are independent tries; otherwise they count once",
        source="what spoils one release of a patch often spoils the next; our choice",
    )
    likely_from_share: float = setting(
        0.66,
        meaning="from this chance the agent is likely there",
        unit="share",
        source="IPCC guidance note on uncertainty, Mastrandrea et al. 2010 (from memory)",
        least=0.0,
        most=1.0,
    )
    unlikely_to_share: float = setting(
        0.33,
        meaning="up to this chance the agent is unlikely there; between the two it is possible",
        unit="share",
        source="IPCC guidance note on uncertainty, Mastrandrea et al. 2010 (from memory)",
        least=0.0,
        most=1.0,
    )
    lost_below_share: float = setting(
        0.05,
        meaning="a population on record whose chance falls below this is lost",
        unit="share",
        source=OUR_CHOICE,
        least=0.0,
        most=1.0,
    )
    loss_kinds: Texts = setting(
        (),
        meaning="kinds of treatment that end a population, where they cover loss_share of its ground",
    )
    loss_share: float = setting(
        0.9,
        meaning="share of the ground that such a treatment must cover",
        unit="share",
        source=OUR_CHOICE,
        above=0.0,
        most=1.0,
    )
