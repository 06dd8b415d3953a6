"""What a scouting visit to one site is worth, as one paragraph for each role."""

from collections.abc import Iterable

from geo_scout.model.rows import each_row
from geo_scout.model.scouting import ScoutingList

AS = {"source": "as a source", "release": "as a release site"}


def explain_visit(lists: Iterable[ScoutingList], agent: str, site_id: str) -> str:
    """Return what a visit is worth in each role, and why; nobody is sent to sites on no list.

    Parameters
    ----------
    lists
        Of every agent and role.
    agent, site_id
        Whose lists, and the site.
    """
    lines = [f"What a scouting visit is worth for {agent}:"]
    for one in lists:
        if one.agent != agent:
            continue
        rows = list(each_row(one.table[one.table["site_id"] == site_id]))
        if not rows:
            lines.append(f"  {AS[one.role]}: not to be visited; see the reasons below")
        for row in rows:
            worth = "" if row.visit_worth != row.visit_worth else f"{row.visit_worth:.4f} {row.worth_unit}, "
            look = f"{row.sign}: " if row.sign else ""
            lines.append(f"  {AS[one.role]}: {look}{worth}{row.why}")
    return "\n".join(lines)
