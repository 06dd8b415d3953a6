"""How the chance that an agent lives in one patch came about, in plain lines."""

from collections.abc import Sequence

from geo_scout.model.evidence import Evidence
from geo_scout.model.presence import PresenceStep


def explain_presence(evidence: Evidence, index: int, steps: Sequence[PresenceStep]) -> str:
    """Return the derivation: prior, each year's step, each visit's effect, and what comes of it.

    Parameters
    ----------
    evidence
        The agent's records.
    index
        Row of the patch.
    steps
        The steps in order; the chance after each as lowest, best, highest.
    """
    row = evidence.sites.iloc[index]
    lines = [f"Is {evidence.agent} there? Chance after each step, best (lowest to highest):"]
    lines += [
        f"  {step.when}: {step.what} -> {step.best:.4f} ({step.low:.4f} to {step.high:.4f})" for step in steps
    ]
    if not steps:
        lines.append("  no record and no arrival speaks for it")
    lines.append(f"  {row['state_words']}")
    if row["gap_crossed"] and not row["confirmed"]:
        lines.append(
            f"  nearest confirmed population {row['population_distance_km']:.3f} km away, edge to edge; "
            f"it crosses such a gap: {row['gap_crossed']}"
        )
    return "\n".join(lines)
