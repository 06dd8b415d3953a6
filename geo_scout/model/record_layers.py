"""The layers of records: what was released, what visits saw, who asked; with the terms of Darwin Core."""

from geo_scout.model.column import Column, VectorKind

RELEASES = VectorKind(
    "points",
    "where agents were put, and how long ago",
    "only finds without a release are known",
    (
        Column("release_id", "text", "your own id, named by the visits", is_required=True, term="eventID"),
        Column(
            "agent",
            "text",
            "the agent's name, as in its profile",
            is_required=True,
            term="verbatimIdentification",
        ),
        Column("date", "date", "day of the release", is_required=True, term="eventDate"),
        Column("number", "number", "agents released", term="individualCount"),
        Column("life_stage", "text", "stage released", term="lifeStage"),
        Column("source_site", "text", "where they were collected"),
        Column("purpose", "text", "new, supplement or nursery"),
        Column(
            "coordinate_uncertainty_m",
            "number",
            "uncertainty of the position, more than 0 [m]",
            term="coordinateUncertaintyInMeters",
        ),
        Column("permit", "text", "permit reference"),
    ),
)
VISITS = VectorKind(
    "points",
    "confirmed populations: sources, and release sites already occupied",
    "no source can be confirmed and no release site is known to be occupied",
    (
        Column("visit_id", "text", "your own id; without one the row number stands in", term="eventID"),
        Column(
            "release_id",
            "text",
            "the release visited, where the visit was if the table has no positions; "
            "blank is a find without a release, or one to be joined by place and date",
            term="parentEventID",
        ),
        Column(
            "release_date",
            "date",
            "day of the release visited, where its id is not known; see [records] link_m and link_days",
        ),
        Column("agent", "text", "the agent looked for", is_required=True, term="verbatimIdentification"),
        Column("date", "date", "day of the visit", is_required=True, term="eventDate"),
        Column("result", "yes or no", "found or not found", is_required=True, term="occurrenceStatus"),
        Column("method", "text", "how it was looked for", term="samplingProtocol"),
        Column(
            "effort_hours",
            "number",
            "person-hours spent looking [hours], or each with its unit: 90 min",
            term="samplingEffort",
        ),
        Column("sign", "text", "what was seen, by the name of a sign of the profile"),
        Column("life_stage", "text", "stage seen", term="lifeStage"),
        Column("count", "number", "agents counted", term="individualCount"),
        Column("counted_area_m2", "number", "area on which they were counted [m2]", term="sampleSizeValue"),
        Column("host_cover_pct", "number", "canopy cover of the host around there [%]"),
        Column("observer", "text", "who looked", term="recordedBy"),
        Column("voucher", "text", "number of a specimen that was kept; blank is none", term="catalogNumber"),
        Column(
            "coordinate_uncertainty_m",
            "number",
            "uncertainty of the position, more than 0 [m]",
            term="coordinateUncertaintyInMeters",
        ),
    ),
)
REQUESTS = VectorKind(
    "points",
    "who asked for agents, and for what purpose",
    "every release site has the purpose new",
    (
        Column("request_id", "text", "your own id", is_required=True),
        Column("owner", "text", "who asked"),
        Column("date", "date", "day of the request"),
        Column("contact", "text", "how to reach them"),
        Column("agent", "text", "the agent asked for"),
        Column("status", "text", '"open", or anything else once it is dealt with'),
        Column("purpose", "text", "new, supplement or nursery"),
    ),
)
