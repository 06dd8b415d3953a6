"""The limits of a season: each leaves sites out or shapes them; none is a weight."""

from collections.abc import Mapping
from typing import Literal

from geo_scout.model.criteria import OUR_CHOICE
from geo_scout.model.setting import Table, Texts, setting, table

LandRule = Literal["forbid", "ask", "prefer"]


class Rules(Table):
    """Limits of the season. Each excludes or shapes sites; none is a weight."""

    join_m: float = setting(
        100.0,
        meaning="infestations closer than this, edge to edge, are one patch",
        unit="m",
        source=OUR_CHOICE,
        least=0.0,
        most=5000.0,
    )
    max_patch_km: float = setting(
        5.0, meaning="longest extent of one patch", unit="km", source=OUR_CHOICE, above=0.0, most=100.0
    )
    min_infested_ha: float = setting(
        0.0,
        meaning="release sites and sources smaller than this are left out",
        unit="ha",
        source="no limit unless you set one",
        least=0.0,
    )
    occupied_km: float = setting(
        0.0,
        meaning="a confirmed find within this distance of a patch occupies it",
        unit="km",
        source="0 is the patch itself; no published distance fits every agent",
        least=0.0,
        most=100.0,
    )
    min_spacing_km: float | None = setting(
        None,
        meaning="least distance between two release sites of one agent on the list, supplements aside",
        unit="km",
        source="no published distance; off unless you set one",
        above=0.0,
        most=100.0,
    )
    max_slope_deg: float | None = setting(
        None,
        meaning="ground steeper than this is too steep for a crew on foot",
        unit="deg",
        source="no published limit; off unless you set one",
        above=0.0,
        most=90.0,
    )
    max_steep_share: float = setting(
        0.5,
        meaning="largest share of a patch steeper than max_slope_deg; a crew works on the rest",
        unit="share",
        source=OUR_CHOICE,
        least=0.0,
        most=1.0,
    )
    horizon_years: float = setting(
        5.0,
        meaning="years of spread counted for the host around a site",
        unit="years",
        source=OUR_CHOICE,
        above=0.0,
        most=50.0,
    )
    buffer_m: float = setting(
        0.0,
        meaning="width added around forbidden land",
        unit="m",
        source="0 unless you set one",
        least=0.0,
        most=10000.0,
    )
    max_forbidden_share: float = setting(
        0.05,
        meaning="largest share of a patch on forbidden land or its buffer, for slivers of mapping",
        unit="share",
        source=OUR_CHOICE,
        least=0.0,
        most=1.0,
    )
    land_classes: Mapping[str, LandRule] = table(
        dict,
        meaning='{crop = "forbid", reserve = "ask", pasture = "prefer"}; a class not named has no effect',
    )
    treated_within_days: int = setting(
        365,
        meaning="a treatment that ended fewer days than this before as_of leaves a patch out",
        unit="days",
        source=OUR_CHOICE,
        least=0,
        most=36500,
    )
    max_treated_share: float = setting(
        0.05,
        meaning="largest treated share of a patch, for slivers of mapping",
        unit="share",
        source=OUR_CHOICE,
        least=0.0,
        most=1.0,
    )
    treatment_kinds: Texts = setting(
        ("herbicide", "mowing", "grazing"), meaning="kinds of treatment that leave a patch out"
    )
    max_wasted_share: float | None = setting(
        None,
        meaning="release sites where the chance that the agent is there already is larger are left out",
        unit="share",
        source="off unless you set one; only a confirmed find excludes by itself",
        least=0.0,
        most=1.0,
    )
    max_bad_share: float = setting(
        0.05,
        meaning="a layer stops the run when more than this share of its features cannot be used, "
        "and more than one of five or more",
        unit="share",
        source=OUR_CHOICE,
        least=0.0,
        most=1.0,
    )
