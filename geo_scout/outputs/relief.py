"""The season's own elevation as a calm shaded picture for the bottom of the map."""

import io
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from geo_scout.formulas.terrain import hillshade, horn_gradient
from geo_scout.formulas.transformers import transformer_between
from geo_scout.model.zones import ReliefGrid

FloatArray = NDArray[np.float64]

LARGEST_SIDE_PX = 2048
WEBP_QUALITY = 62
WEBP_METHOD = 4  # as small as the slowest, 6, in an eighth of its time
MERCATOR_RADIUS_M = 6_378_137.0

# Valley, slope and summit: three pale tints, so that coloured patches stay the strongest thing on the map.
TINTS_RGB = np.array([[209, 217, 200], [231, 223, 205], [247, 244, 238]], dtype=np.float64)
TYPICAL_GRADIENT = 0.45  # what the steepest tenth of the ground is drawn like, whatever the country
MOST_EXAGGERATION = 6.0
DARKEST, LIGHTEST = 0.6, 1.08
STEPS = 4096


@dataclass(frozen=True)
class ReliefPicture:
    """A picture of the relief and where it lies.

    Parameters
    ----------
    webp
        The picture as a WebP file; transparent where the elevation is missing.
    west_deg, south_deg, east_deg, north_deg
        Its edges [deg].
    width_px, height_px
        Its size [pixels].
    """

    webp: bytes
    west_deg: float
    south_deg: float
    east_deg: float
    north_deg: float
    width_px: int
    height_px: int


def draw_relief(relief: ReliefGrid, largest_side_px: int = LARGEST_SIDE_PX) -> ReliefPicture:
    """Return a shaded, faintly tinted picture of the elevation.

    Parameters
    ----------
    relief
        Elevation on a north-up Web Mercator grid.
    largest_side_px
        The picture is made smaller until neither side exceeds this [pixels].

    Notes
    -----
    Web Mercator metres are longer than ground metres by 1 / cos(latitude), so slopes are taken with
    cells of ground size, row by row. The vertical scale is stretched in gentle country: this is a
    picture, not a measure of slope.
    """
    shade = _shade(relief)
    rgba = _colour(np.asarray(relief.elevation_m, dtype=np.float64), shade)
    picture = Image.fromarray(rgba)
    if max(picture.size) > largest_side_px:
        picture.thumbnail((largest_side_px, largest_side_px), Image.Resampling.LANCZOS)
    stream = io.BytesIO()
    picture.save(stream, "WEBP", quality=WEBP_QUALITY, method=WEBP_METHOD)
    west_deg, south_deg, east_deg, north_deg = _edges_deg(relief)
    return ReliefPicture(stream.getvalue(), west_deg, south_deg, east_deg, north_deg, *picture.size)


def _shade(relief: ReliefGrid) -> FloatArray:
    rows = relief.elevation_m.shape[0]
    northing_m = relief.transform.f + (np.arange(rows) + 0.5) * relief.transform.e
    ground_share = 1.0 / np.cosh(northing_m / MERCATOR_RADIUS_M)  # cos(latitude) on the Mercator sphere
    rise_east, rise_north = horn_gradient(
        relief.elevation_m,
        abs(relief.transform.a) * ground_share,
        abs(relief.transform.e) * ground_share,
    )
    stretch = _exaggeration(np.hypot(rise_east, rise_north))
    east, north = rise_east * stretch, rise_north * stretch
    # A second, weaker light keeps slopes that face away from the first from sinking into black.
    return 0.7 * hillshade(east, north, 315.0, 45.0) + 0.3 * hillshade(east, north, 20.0, 60.0)


def _exaggeration(gradient: FloatArray) -> float:
    known = gradient[np.isfinite(gradient)]
    steep = float(np.quantile(known, 0.9)) if known.size else 0.0
    return float(np.clip(TYPICAL_GRADIENT / steep, 0.5, MOST_EXAGGERATION)) if steep > 0.0 else 1.0


def _colour(elevation_m: FloatArray, shade: FloatArray) -> NDArray[np.uint8]:
    known = np.isfinite(elevation_m) & np.isfinite(shade)
    rgba = np.zeros((*elevation_m.shape, 4), dtype=np.uint8)
    if not known.any():
        return rgba
    low_m, high_m = np.quantile(elevation_m[known], [0.02, 0.98])
    height = _steps((np.where(known, elevation_m, low_m) - low_m) / max(high_m - low_m, 1.0))
    light = _steps(np.where(known, shade, 0.0))
    at = np.linspace(0.0, 1.0, STEPS)
    flat = 0.7 * np.sin(np.radians(45.0)) + 0.3 * np.sin(np.radians(60.0))
    lit = np.interp(at, [0.0, flat, 1.0], [DARKEST, 1.0, LIGHTEST]).astype(np.float32)[light]
    for band in range(3):
        tint = np.interp(at, [0.0, 0.5, 1.0], TINTS_RGB[:, band]).astype(np.float32)
        rgba[..., band] = np.minimum(tint[height] * lit + np.float32(0.5), 255.0)
    rgba[..., 3] = 255
    rgba[~known] = 0
    return rgba


def _steps(share: FloatArray) -> NDArray[np.uint16]:
    """Return the places of shares in a table of `STEPS` entries, finer than the 256 that a colour has."""
    return np.asarray(np.clip(share, 0.0, 1.0) * (STEPS - 1) + 0.5, dtype=np.uint16)


def _edges_deg(relief: ReliefGrid) -> tuple[float, float, float, float]:
    rows, columns = relief.elevation_m.shape
    west_m, north_m = relief.transform.c, relief.transform.f
    east_m, south_m = west_m + columns * relief.transform.a, north_m + rows * relief.transform.e
    to_degrees = transformer_between("EPSG:3857", "EPSG:4326")
    (west_deg, east_deg), (south_deg, north_deg) = to_degrees.transform([west_m, east_m], [south_m, north_m])
    return west_deg, south_deg, east_deg, north_deg
