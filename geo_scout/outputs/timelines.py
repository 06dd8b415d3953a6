"""The history of each release as a picture, by agent and district."""

import datetime as dt
from collections.abc import Hashable
from pathlib import Path
from typing import Any

import pandas as pd

from geo_scout.model.agent import NO_JURISDICTION
from geo_scout.model.folded import folded
from geo_scout.model.presence import STATE_LABELS, percent_range
from geo_scout.model.result import Audience, SeasonResult
from geo_scout.outputs.timelines_picture import Seen, Sight, Timeline, TimelineGroup, timelines_svg

NOT_MAPPED = "district not mapped"
MOST_DRAWN = 2_000
"""Releases drawn, the newest; more would be a picture that no phone opens."""


def write_timelines(path: Path, result: SeasonResult, audience: Audience) -> None:
    """Write timelines.svg.

    Parameters
    ----------
    path
        The file.
    result
        What the run found. The picture names releases and patches by their ids alone.
    audience
        A public copy does not show on which day ground was treated.
    """
    groups, left_out = build_timelines(result, audience)
    note = "" if not left_out else f"Not drawn: {left_out} older releases; the tables hold them."
    svg = timelines_svg(result.season.settings.season.title, groups, result.season.as_of, note)
    path.write_text(svg, encoding="utf-8", newline="\n")


def build_timelines(
    result: SeasonResult, audience: Audience, most: int = MOST_DRAWN
) -> tuple[list[TimelineGroup], int]:
    """Return the timelines by agent and district, and how many releases are left out as too many.

    Parameters
    ----------
    result
        What the run found.
    audience
        A public copy holds no day of a loss.
    most
        Number of releases drawn at most, the newest first.
    """
    every = [
        result.evidence[agent.name].releases.assign(agent_order=order)
        for order, agent in enumerate(result.season.agents)
    ]
    filled = [frame for frame in every if len(frame)]
    if not filled:
        return [], 0
    table = pd.concat([pd.DataFrame(frame.drop(columns="geometry")) for frame in filled], ignore_index=True)
    if audience == "public":
        table = table.assign(lost_on="")
    # A release dated after the season's own day has not happened yet.
    table = table[table["date"] <= pd.Timestamp(result.season.as_of)]
    newest = table.sort_values(["date", "release_id"], ascending=False, kind="stable").head(most)
    shown = newest.assign(is_unmapped=newest["district"] == "").sort_values(
        ["agent_order", "is_unmapped", "district", "date", "release_id"], kind="stable"
    )
    sights = {agent.name: _Sights(result, agent.name) for agent in result.season.agents}
    groups = []
    for (order, _, district), rows in shown.groupby(["agent_order", "is_unmapped", "district"], sort=True):
        agent = result.season.agents[int(str(order))].name
        timelines = tuple(_timeline(row, sights[agent]) for row in rows.to_dict("records"))
        heading = f"{agent}, {district or NOT_MAPPED}"
        groups.append(TimelineGroup(heading, timelines, questions_in(result, agent, str(district))))
    return groups, len(table) - len(shown)


def questions_in(result: SeasonResult, agent: str, district: str) -> tuple[str, ...]:
    """Return what must be asked before the agent moves in a district; "" is ground outside every district."""
    boundaries = result.layers.vectors.get("boundaries")
    laws = {""}
    if boundaries is not None and district:
        laws = {"", *boundaries.loc[boundaries["district"] == district, "jurisdiction"].astype(str)}
    elif not district:
        laws = {"", NO_JURISDICTION}
    asked_of = {folded(law) for law in laws}
    return tuple(
        question.text()
        for question in result.questions
        if question.agent == agent and folded(question.jurisdiction) in asked_of
    )


def _timeline(row: dict[Hashable, Any], sights: "_Sights") -> Timeline:
    site = str(row["site_id"])
    return Timeline(
        label=f"{row['release_id']} {site}".strip(),
        released=_day(row["date"]),
        verdict=_verdict(row),
        sights=sights.of(row),
    )


def _verdict(row: dict[Hashable, Any]) -> str:
    """Return state and chance; what is of an earlier year carries it."""
    shares = [float(str(row[f"presence{level}_share"])) for level in ("_low", "", "_high")]
    state, chance = str(row["state"]), percent_range(*shares)
    if state not in ("confirmed", "lost"):
        return f"{STATE_LABELS[state]}, {chance}"
    said = f"{STATE_LABELS[state]} {float(str(row['state_year'])):.0f}"
    # What was found may be gone and what was destroyed may have come again since.
    return f"{said}; now {chance}"


class _Sights:
    """The visits of one agent, by the ground they were on."""

    def __init__(self, result: SeasonResult, agent: str) -> None:
        self.by_place: dict[str, list[tuple[str, dt.date, Seen]]] = {}
        self.by_release: dict[str, list[tuple[str, dt.date, Seen]]] = {}
        evidence = result.evidence[agent]
        as_of = result.season.as_of
        columns = ("site_id", "release_id", "date", "found", "says_nothing")
        for site, release, date, found, silent in zip(
            *(evidence.visits[name] for name in columns), strict=True
        ):
            seen: Seen = "says nothing" if silent else "found" if found else "not found"
            if (day := _day(date)) <= as_of:
                told = (str(release), day, seen)
                self.by_place.setdefault(str(site), []).append(told)
                self.by_release.setdefault(str(release), []).append(told)

    def of(self, row: dict[Hashable, Any]) -> tuple[Sight, ...]:
        """Return what happened to a release, and to others on the same ground, from its day on."""
        release, site, since = str(row["release_id"]), str(row["site_id"]), _day(row["date"])
        own = [Sight(day, seen) for _, day, seen in self.by_release.get(release, [])]
        others = [
            Sight(day, seen, is_own=False)
            for other, day, seen in (self.by_place.get(site, []) if site else [])
            if other != release and day >= since
        ]
        lost = [Sight(dt.date.fromisoformat(day), "lost") for day in str(row["lost_on"]).split("; ") if day]
        return tuple(sorted([*own, *others, *lost], key=lambda sight: (sight.day, sight.seen)))


def _day(value: object) -> dt.date:
    return pd.Timestamp(str(value)).date()
