"""Words that mean yes, no, or that nobody knows: from common practice, gathered by us."""

YES_WORDS = ("yes", "y", "true", "t", "1", "found", "granted", "detected", "present", "seen", "established",
             "positive", "recovered", "observed", "surveyed", "allowed", "approved", "ok")  # fmt: skip
NO_WORDS = ("no", "n", "false", "f", "0", "none", "absent", "refused", "denied", "not", "negative", "nothing",
            "undetected", "unsuccessful", "notdetected")  # fmt: skip
UNSURE_WORDS = frozenset(
    {"unknown", "unk", "?", "not asked", "ask", "pending", "unsure", "not visited", "na", "n/a", "undecided"}
)
