"""A season planned from a day long after everything that is known."""

import numpy as np

from geo_scout.layers.crosschecks.layers_read import LayersRead

# Our choice: a generation. An older map may be all there is, but then the day is worth a look.
_YEARS, _DAYS_PER_YEAR = 30, 365.2425
_DATED = {
    "infestations": "survey_date",
    "surveyed_areas": "survey_date",
    "releases": "date",
    "visits": "date",
}


def check_day(read: LayersRead) -> None:
    """Caution where ``as_of`` lies more than 30 years after the newest survey, release and visit."""
    newest = np.datetime64("NaT", "s")
    for layer, column in _DATED.items():
        draft = read.usable(layer)
        if draft is not None:
            days = draft.frame[column].to_numpy(dtype="datetime64[s]")
            newest = np.fmax(newest, np.fmax.reduce(days))
    as_of = np.datetime64(read.season.as_of)
    years = (as_of - newest.astype("datetime64[D]")) / np.timedelta64(1, "D") / _DAYS_PER_YEAR
    # A missing day compares as nan, which is never more.
    if years > _YEARS and read.usable("infestations") is not None:
        what = (
            f"the newest survey, release or visit is of {newest.astype('datetime64[D]')}, {years:,.0f} years "
            f"before {as_of} (as_of)."
        )
        fix = "Check [season] as_of, the day you plan from, and the dates of the layers."
        read.about("infestations").say("day-far", "caution", what, fix)
