"""What ended a population: treatments that cover its ground, and surveys that found no host left."""

from dataclasses import dataclass

import geopandas as gpd
import numpy as np
import pandas as pd
import shapely
from numpy.typing import NDArray

from geo_scout.evidence.places import Places
from geo_scout.model.folded import folded
from geo_scout.model.layers import LayerSet
from geo_scout.model.records_table import RecordsTable
from geo_scout.model.season import Season
from geo_scout.model.sites import Sites


@dataclass(frozen=True)
class Losses:
    """What ended populations, and what only touched their ground.

    Parameters
    ----------
    place
        (k,) number of the place.
    day
        (k,) last day of the treatment, or day of the survey.
    what
        (k,) in words: the kind with its id, and how much of the ground it covers.
    touched
        Per place number, the latest treatment of such a kind that covers less, in words.
    """

    place: NDArray[np.intp]
    day: NDArray[np.datetime64]
    what: NDArray[np.object_]
    touched: dict[int, str]


def find_losses(places: Places, sites: Sites, layers: LayerSet, season: Season) -> Losses:
    """Return the treatments and surveys that ended what lived in the places.

    Parameters
    ----------
    places
        Patches and points outside.
    sites
        Patches of the host with their treatments.
    layers
        Treatments and surveyed areas, for the points outside.
    season
        ``[records]`` says which kinds of treatment end a population, and ``as_of`` what is past.
    """
    rule = season.settings.records
    as_of = np.datetime64(season.as_of, "D")
    covered = pd.concat(
        [_over_patches(places, sites), _over_points(places, layers.vectors.get("treatments"))],
        ignore_index=True,
    )
    kinds = {folded(kind) for kind in rule.loss_kinds}
    covered = covered[covered["kind"].map(folded).isin(kinds) & (covered["day"] <= as_of)]
    covered = covered.sort_values(["day", "place", "treatment_id"], kind="stable")
    gone = _gone(places, layers.vectors.get("surveyed_areas"), sites.host, as_of)
    ends = covered["share"] >= rule.loss_share
    losses = pd.concat([covered[ends], gone], ignore_index=True)
    return Losses(
        place=losses["place"].to_numpy(dtype=np.intp),
        day=losses["day"].to_numpy(dtype="datetime64[D]"),
        what=losses["what"].to_numpy(dtype=object),
        touched=_touched(covered[~ends], rule),
    )


def _touched(treated: pd.DataFrame, rule: RecordsTable) -> dict[int, str]:
    return {
        int(place): f"{what}, less than {100 * rule.loss_share:.0f} % (loss_share), is not counted as a loss"
        for place, what in zip(treated["place"], treated["what"], strict=True)
    }


def _over_patches(places: Places, sites: Sites) -> pd.DataFrame:
    treated = sites.treatments
    return _treatments(
        pd.Index(places.place_id[: places.patches]).get_indexer(pd.Index(treated["site_id"])),
        treated,
        treated["share"].to_numpy(dtype=np.float64),
    )


def _over_points(places: Places, treatments: gpd.GeoDataFrame | None) -> pd.DataFrame:
    points = places.shapes[places.patches :]
    if treatments is None or len(treatments) == 0 or len(points) == 0:
        return _treatments(
            np.zeros(0, dtype=np.intp),
            pd.DataFrame(columns=["treatment_id", "kind", "start", "end"]),
            np.zeros(0),
        )
    treated, point = shapely.STRtree(points).query(treatments.geometry.to_numpy(), predicate="intersects")
    return _treatments(places.patches + point, treatments.iloc[treated], np.ones(len(point)))


def _treatments(place: NDArray[np.intp], treated: pd.DataFrame, share: NDArray[np.float64]) -> pd.DataFrame:
    end = pd.to_datetime(treated["end"]).fillna(pd.to_datetime(treated["start"]))
    table = pd.DataFrame(
        {
            "place": place,
            "treatment_id": treated["treatment_id"].to_numpy(dtype=object),
            "kind": treated["kind"].to_numpy(dtype=object),
            "day": end.to_numpy().astype("datetime64[s]"),
            "share": share,
        }
    )
    table["kind"] = table["kind"].astype(object)
    table["what"] = [
        f"{kind} {name} over {100 * part:.0f} % of it"
        for kind, name, part in zip(table["kind"], table["treatment_id"], table["share"], strict=True)
    ]
    return table[table["place"] >= 0]


def _gone(places: Places, surveyed: gpd.GeoDataFrame | None, host: str, as_of: np.datetime64) -> pd.DataFrame:
    """Return the surveys that found no host where a point outside every patch lies."""
    points = places.shapes[places.patches :]
    none = pd.DataFrame(
        {
            "place": np.zeros(0, dtype=np.intp),
            "day": np.zeros(0, dtype="datetime64[s]"),
            "what": np.zeros(0, dtype=object),
        }
    )
    if surveyed is None or len(points) == 0:
        return none
    is_empty = (surveyed["result"] == "none found") & surveyed["host"].isin([host, ""])
    empty = surveyed[is_empty & (surveyed["survey_date"] <= as_of)]
    if len(empty) == 0:
        return none
    area, point = shapely.STRtree(points).query(empty.geometry.to_numpy(), predicate="intersects")
    names = empty["id"].to_numpy(dtype=object)[area]
    return pd.DataFrame(
        {
            "place": places.patches + point,
            "day": empty["survey_date"].to_numpy().astype("datetime64[s]")[area],
            "what": [f"survey{' ' + name if name else ''} found no {host} there" for name in names],
        }
    )
