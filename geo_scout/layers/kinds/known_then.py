"""What was not yet known on the season's day: records dated later are set aside."""

from geo_scout.layers.drafts import LayerDraft, Why


def set_aside_future(draft: LayerDraft, column: str) -> None:
    """Set aside rows dated after ``as_of``; a blank date stays."""
    as_of = draft.season.as_of
    is_later = (draft.frame[column] > str(as_of)).to_numpy()
    why = Why(
        "dated-later",
        "",
        "Correct the date, or move [season] as_of to the day you plan from.",
        is_bad=False,
    )
    dates = draft.frame.loc[is_later, column].dt.strftime("%Y-%m-%d")
    draft.set_aside(
        is_later,
        why,
        [f"{column} {date} is after {as_of} (as_of), so it is not known yet." for date in dates],
    )
