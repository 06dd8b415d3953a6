"""What became of a release, as far as a backtest may use it."""

from typing import Literal

Label = Literal["established", "failed", "unused"]
LABELS: tuple[Label, ...] = ("established", "failed", "unused")

MISSED_AT_MOST_SHARE = 0.1
"""A release not found has failed where its visits would have missed it no more often than this [share]."""

REASONS: dict[str, str] = {
    "found": "found, long enough after the release",
    "searched": "not found by visits that would have found it in nine cases of ten or more",
    "no-waiting-time": "the profile has no years_to_confirm, so nothing says when a find means establishment",
    "another-first": "another release was put in the same place before it, or on its day",
    "there-before": "the agent was found in the place before the release",
    "too-early": "not old enough yet to tell",
    "not-visited": "never visited",
    "outside": "it lies in no patch of today's map",
    "elsewhere": "the visits that name it were made elsewhere",
    "before-its-time": "visited only too soon: a find may be of the released agents themselves",
    "another-since": "seen only after another release there, which may be responsible",
    "destroyed": "its ground was destroyed before it could tell",
    "may-have-missed": "not found, but the visits could have missed it",
    "may-have-come": "the agent may have come from elsewhere before anybody looked",
    "not-mapped": "no infestation was on the map there on the day of the release",
}
"""Why a release is used or not, by code, in the order in which they are told."""

PRIVATE_REASONS = ("destroyed", "before-its-time", "may-have-missed", "elsewhere")
"""Reasons that public copies do not tell apart, since one of them is a treatment."""
UNTOLD, UNTOLD_WORDS = "untold", "nothing that was seen could tell"
"""What public copies say instead."""
