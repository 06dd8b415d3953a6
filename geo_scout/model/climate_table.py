"""The settings of climate: what is compared, by which convention, and how it comes to a site's height."""

from typing import Literal

from geo_scout.model.bioclim_convention import Divisor, Quarters
from geo_scout.model.criteria import OUR_CHOICE
from geo_scout.model.lapse_rates import STANDARD_LAPSE_RULE
from geo_scout.model.setting import Numbers, Table, Texts, setting

_DIVISOR = "our choice; published codes use either, so take the one of your own layers"
_CONVENTION = "O'Donnell & Ignizio 2012, USGS Data Series 691"


class ClimateTable(Table):
    """How the climate gap is taken."""

    variables: Texts = setting(
        ("bio05", "bio06", "bio12"),
        meaning="variables compared, where the agent's profile names none; at most four",
        source=OUR_CHOICE,
    )
    reference: Literal["infestations", "boundaries", "surveyed_areas", "land_classes"] = setting(
        "infestations", meaning="layer whose climate cells give the covariance"
    )
    kind: Literal["regional", "interannual"] = setting(
        "regional",
        meaning="what a climate difference is measured against: how the climate cells of the host differ, or "
        "how the years at a population do, which needs the layer yearly_climate",
    )
    divisor: Divisor = setting(
        "n - 1", meaning="what sums of squares are divided by in bio04 and bio15", source=_DIVISOR
    )
    precipitation_plus_one: bool = setting(
        True, meaning="whether bio15 uses precipitation + 1 mm", source=_CONVENTION
    )
    quarters: Quarters = setting(
        "wrapped",
        meaning="which three months may be a quarter in bio08 to bio11 and bio16 to bio19",
        source=_CONVENTION,
    )
    downscale: bool = setting(
        True,
        meaning="bring monthly temperatures to each site's elevation, where climate_elevation and elevation "
        "are given",
    )
    lapse_window_km: float = setting(
        STANDARD_LAPSE_RULE.window_km,
        meaning="climate cells up to this far from a site tell how temperature falls with height",
        unit="km",
        source=OUR_CHOICE,
        above=0.0,
        most=500.0,
    )
    tmin_degc_per_km: float = setting(
        STANDARD_LAPSE_RULE.default_tmin_degc_per_km,
        meaning="fall of the daily minimum with height, where it cannot be fitted",
        unit="degC/km",
        source="middle of the late-summer minima of Minder, Mote & Lundquist 2010",
        least=-10.0,
        most=10.0,
    )
    tmax_degc_per_km: float = setting(
        STANDARD_LAPSE_RULE.default_tmax_degc_per_km,
        meaning="fall of the daily maximum with height, where it cannot be fitted",
        unit="degC/km",
        source="Blandford et al. 2008, as cited with Minder, Mote & Lundquist 2010",
        least=-10.0,
        most=10.0,
    )
    normals_period: str = setting("", meaning='years the climate rasters are the mean of: "1991-2020"')
    daily_spread_degc: Numbers = setting(
        (),
        meaning="standard deviation of daily means within each month, one number or January to December; "
        "from the layer weather when left out",
        unit="degC",
    )
