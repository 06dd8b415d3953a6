"""Coordinates from one reference system in another."""

from functools import lru_cache

from pyproj import CRS, Transformer


@lru_cache(maxsize=256)
def transformer_between(source: CRS | int | str, target: CRS | int | str) -> Transformer:
    """Return what moves coordinates, east or longitude first, from one reference system to another.

    Parameters
    ----------
    source, target
        Reference systems, their EPSG numbers or codes.

    Raises
    ------
    pyproj.exceptions.ProjError
        There is no way from one to the other.

    Notes
    -----
    To make one takes longer than to move a few thousand places, so they are kept.

    Examples
    --------
    A place on the middle meridian of UTM zone 32:

    >>> east_m, north_m = transformer_between(4326, 32632).transform(9.0, 50.0)
    >>> round(east_m), round(north_m)
    (500000, 5538631)
    """
    return Transformer.from_crs(source, target, always_xy=True)
