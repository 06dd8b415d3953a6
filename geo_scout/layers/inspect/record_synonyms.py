"""What people, and Darwin Core, call the columns of releases, visits and requests.

From common practice, gathered by us; a phrase matches in any order of its words, see `names`.
"""

from collections.abc import Mapping

OF_ANY_TAXON = ("scientific name", "vernacular name", "verbatim identification", "accepted name usage")
"""Terms of Darwin Core for the name of anything that lives, a weed or an agent."""

_AGENT = ("agent", "agent name", "biocontrol agent", "bioagent", "bio agent", "biological control agent",
          "insect", "insect name", "organism", "agent species", "control agent", "species",
          *OF_ANY_TAXON)  # fmt: skip
_UNCERTAINTY = ("coordinate uncertainty m", "coordinate uncertainty", "position uncertainty", "uncertainty",
                "gps accuracy", "accuracy", "accuracy m", "gps error", "position error",
                "coordinate uncertainty in meter")  # fmt: skip
_PURPOSE = ("purpose", "reason", "release type", "release purpose")

RECORD_PHRASES: Mapping[str, Mapping[str, tuple[str, ...]]] = {
    "releases": {
        "release_id": ("release id", "id", "release", "release code", "release number id", "event id",
                       "record id", "uid", "unique id", "global id", "site id", "site code",
                       "release site id", "release key"),
        "agent": _AGENT,
        "date": ("date", "release date", "date released", "released on", "date of release", "release day",
                 "day", "day released", "when", "event date"),
        "number": ("number", "number released", "quantity", "quantity released", "count", "released",
                   "amount", "total released", "number of agents", "agents released", "release size",
                   "release number", "insects released", "total number", "individual count",
                   "organism quantity"),
        "life_stage": ("life stage", "stage", "lifestage", "stage released"),
        "source_site": ("source site", "source", "collected from", "collection site", "origin",
                        "collected at",
                        "collection source", "source population"),
        "purpose": _PURPOSE,
        "coordinate_uncertainty_m": _UNCERTAINTY,
        "permit": ("permit", "permit number", "permit reference", "licence", "license", "permit id"),
    },
    "visits": {
        "visit_id": ("visit id", "id", "visit", "monitoring id", "record id", "survey id", "visit number",
                     "event id", "occurrence id",
                     "uid", "unique id", "global id", "visit code", "check id"),
        "release_id": ("release id", "release", "release number", "release code", "release site id",
                       "release site", "site id", "site code", "release key", "release reference",
                       "parent event id"),
        "release_date": ("release date", "date released", "date of release", "released on"),
        "agent": _AGENT,
        "date": ("date", "visit date", "visited on", "date visited", "monitoring date", "survey date",
                 "observation date", "date monitored", "date checked", "checked on", "date of visit",
                 "visited", "monitored", "monitored on", "checked", "date seen", "seen on", "day",
                 "when", "visit day", "date inspected", "inspection date", "inspected on", "inspected",
                 "check date", "event date"),
        "result": ("result", "outcome", "found", "agent found", "established", "presence", "present",
                   "agent present", "detected", "recovered", "seen", "agent seen", "establishment", "status",
                   "monitoring result", "visit result", "agents found", "occurrence status", "detection"),
        "method": ("method", "sampling method", "monitoring method", "protocol", "survey method", "how",
                   "sampling protocol", "looked how", "way of looking"),
        "effort_hours": ("effort hours", "hours", "effort", "person hours", "search hours", "hours spent",
                         "hours searched", "man hours", "sampling effort", "search effort"),
        "sign": ("sign", "sign seen", "sign found", "seen as", "what was seen", "damage", "damage seen",
                 "evidence", "evidence seen", "feeding damage"),
        "life_stage": ("life stage", "stage", "lifestage", "stage seen", "stage found"),
        "count": ("count", "number found", "number counted", "number seen", "abundance", "total count",
                  "agents counted", "insect count", "insects found", "tally", "number",
                  "individual count", "organism quantity"),
        "counted_area_m2": ("counted area m2", "counted area", "area counted", "area counted m2",
                            "counted m2", "sampled area", "sample area", "sample area m2", "quadrat area",
                            "plot area m2"),
        "host_cover_pct": ("host cover percent", "host cover", "weed cover", "cover percent", "percent cover",
                           "canopy cover", "weed cover percent", "cover"),
        "observer": ("observer", "surveyor", "recorder", "observed by", "visited by", "monitored by", "staff",
                     "observer name", "crew", "checked by", "recorded by"),
        "voucher": ("voucher", "voucher number", "voucher id", "specimen", "specimen number", "specimen id",
                    "catalog number", "catalogue number", "material sample id", "material entity id",
                    "sample number"),
        "coordinate_uncertainty_m": _UNCERTAINTY,
    },
    "requests": {
        "request_id": ("request id", "id", "application id", "request number", "record id", "uid",
                       "order id"),
        "owner": ("owner", "landowner", "land owner", "requested by", "requester", "requestor", "applicant",
                  "client", "owner name", "asked by", "name", "cooperator"),
        "date": ("date", "request date", "requested on", "date requested", "date of request", "asked on",
                 "application date", "received", "date received"),
        "contact": ("contact", "phone", "telephone", "phone number", "email", "mail", "e mail", "address",
                    "mailing address", "contact details"),
        "agent": ("agent", "agent requested", "requested agent", "agent wanted", *_AGENT[1:]),
        "status": ("status", "request status", "state of request", "progress"),
        "purpose": _PURPOSE,
    },
}  # fmt: skip
"""Per layer of records and column of ours: what that column is called elsewhere."""
