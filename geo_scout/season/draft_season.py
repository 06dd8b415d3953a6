"""The text of a drafted season file."""

from collections.abc import Sequence
from pathlib import Path

from geo_scout.model.draft import BLANK, Inspection
from geo_scout.season.draft_layers import write_layers_part
from geo_scout.season.draft_page import Page
from geo_scout.season.toml_text import toml_item, toml_text

_CLASSES_AT_MOST = 40
_HEAD = (
    "A season drafted from your own files. They were only read: nothing was copied or changed. What was "
    "guessed "
    "says why, often with a score from 0 to 1. Questions carry the numbers under which they were printed; "
    "draft_notes.txt holds them too.",
    "Where a value is ?, write a word. Where a line starts with # and a key, take the # away and write your "
    "own "
    "number for N. Then: geo-scout check, and geo-scout run.",
)


def write_season_page(page: Page, found: Inspection, folder: Path, profiles: Sequence[str]) -> None:
    """Write the season file onto its page.

    Parameters
    ----------
    page
        An empty page.
    found
        What was found.
    folder
        The draft's folder.
    profiles
        Paths of the agent profiles, relative to it.
    """
    for text in _HEAD:
        page.note(text)
    page.add("", "format = 1")
    page.open("[season]")
    page.set("title", toml_text(folder.resolve().name or "Untitled season"), "printed on every output")
    page.add(
        "# as_of = YYYY-MM-DD                      # nothing dated later is known yet; today when left out",
        "# start = YYYY-MM-DD                      # first day of field work",
        "# end = YYYY-MM-DD                        # last day of field work",
        f"agents = {toml_item(list(profiles))}",
    )
    write_layers_part(page, found, folder)
    _ask_crews(page, found)
    _write_rules(page, found)
    _ask_join(page, found)
    page.add("")
    page.note(
        "Criteria, weights and limits are left at their defaults, which are choices of this program and not "
        "of "
        "your programme. The README lists them: see [criteria.release], [criteria.source] and [rules]."
    )


def _ask_crews(page: Page, found: Inspection) -> None:
    page.open("[[crews]]")
    longitude_deg, latitude_deg = found.middle_deg or (0.0, 0.0)
    page.ask(
        "Where does a crew start in the morning? No file can tell. Repeat the block for each crew.",
        ['# name = "NAME"', "# base_longitude_deg = N", "# base_latitude_deg = N"],
        "take the # away, write the crew's name for NAME and degrees for N (west and south are negative)",
        is_needed=True,
        stand_ins=[
            'name = "stand-in"',
            f"base_longitude_deg = {longitude_deg}",
            f"base_latitude_deg = {latitude_deg}",
        ],
    )


def _ask_join(page: Page, found: Inspection) -> None:
    number, reach_m = found.could_join
    if not number:
        return
    page.open("[records]")
    names = "1 visit names" if number == 1 else f"{number:,} visits name"
    page.ask(
        f"Are visits to be joined to releases by place? {names} no release, though an earlier one of the "
        "agent lies there, within both uncertainties. Without link_m such a visit counts for its place "
        "alone.",
        [f"# link_m = {reach_m:g}"],
        "if so, take the # away: each visit without a release_id is joined to the nearest earlier release "
        "within so many metres; otherwise leave it",
        is_needed=False,
        stand_ins=(),
    )


def _write_rules(page: Page, found: Inspection) -> None:
    if not found.land_classes:
        return
    page.open("[rules]")
    classes = {one.name: BLANK for one in found.land_classes[:_CLASSES_AT_MOST]}
    page.ask(
        "What holds for releases on each class of land? A class not named has no effect.",
        [f"# land_classes = {toml_item(classes)}"],
        "take the # away, write forbid, ask or prefer for each ?, and take out classes without a rule",
        is_needed=False,
        stand_ins=(),
    )
