"""How the chance that an agent lives in one patch came about, in plain lines."""

from collections.abc import Sequence

from geo_scout.model.evidence import Evidence
from geo_scout.model.presence import PresenceStep

GAP_WORDS = {
    "yes": "it crosses such a gap by itself",
    "no": "wider than what it is known to cross in one go; the arrivals above count ground with host between",
    "not known": "whether it crosses such a gap is not known",
}


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
        away = f"{row['population_distance_km']:.3f} km away, edge to edge"
        lines.append(f"  nearest confirmed population {away}: {GAP_WORDS[row['gap_crossed']]}")
    return "\n".join(lines)
