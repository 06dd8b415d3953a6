"""The columns that say what a source could yield; always ranges, never one false number."""

SUPPLY_COLUMNS: tuple[str, ...] = (
    "site_id",
    "catch_date",
    "catch_per_hour",
    "catch_age_years",
    "supply_low",
    "supply",
    "supply_high",
    "releases_low",
    "releases",
    "releases_high",
    "hours_per_release",
    "patch_total_low",
    "patch_total",
    "patch_total_high",
    "supply_note",
)
"""``catch_*``: the newest catch, agents per person-hour as caught. ``supply*``: agents this season, aged and
capped; ``releases*``: releases of the profile's size they fill; nan is unknown. ``patch_total*``: agents on
the whole patch, only from a count on a known area. ``supply_note``: what it rests on, or what is missing."""
