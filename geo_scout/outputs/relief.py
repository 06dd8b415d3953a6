"""The season's own elevation as a calm shaded picture for the bottom of the map."""

import io
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from PIL import Image

from geo_scout.formulas.longitudes import near_to
from geo_scout.formulas.terrain import hillshade, horn_gradient
from geo_scout.formulas.transformers import transformer_between
from geo_scout.model.zones import MERCATOR_RADIUS_M, RELIEF_PICTURE_PX, ReliefGrid

FloatArray = NDArray[np.float64]
Pixels = NDArray[np.uint8]

BLOCK = 512  # cells of a square that is shaded at once: its arrays stay in the processor's cache
LOOKED_AT = 640  # rows, or columns, that are enough to know how high and how steep the country is
WEBP_QUALITY = 62
WEBP_METHOD = 4  # as small as the slowest, 6, in an eighth of its time

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


def draw_relief(relief: ReliefGrid, largest_side_px: int = RELIEF_PICTURE_PX) -> ReliefPicture:
    """Return a shaded, faintly tinted picture of the elevation.

    Parameters
    ----------
    relief
        Elevation on a north-up Web Mercator grid.
    largest_side_px
        The picture is made smaller until neither side exceeds this [pixels].
    """
    return picture_of(relief, shaded_pixels(relief), largest_side_px)


def picture_of(relief: ReliefGrid, pixels: Pixels, largest_side_px: int = RELIEF_PICTURE_PX) -> ReliefPicture:
    """Return shaded pixels as one picture.

    Parameters
    ----------
    relief
        Where the pixels lie.
    pixels
        Of every cell its red, green, blue and opacity (`shaded_pixels`).
    largest_side_px
        As for `draw_relief`.
    """
    picture = Image.fromarray(pixels)
    if max(picture.size) > largest_side_px:
        share = largest_side_px / max(picture.size)
        size = [max(1, round(side * share)) for side in picture.size]
        picture = picture.resize((size[0], size[1]), Image.Resampling.HAMMING)
    west_deg, south_deg, east_deg, north_deg = _edges_deg(relief)
    return ReliefPicture(webp(picture), west_deg, south_deg, east_deg, north_deg, *picture.size)


def webp(picture: Image.Image, method: int = WEBP_METHOD) -> bytes:
    """Return a picture as a WebP file; a pixel of it is clear only where it was."""
    stream = io.BytesIO()
    picture.save(stream, "WEBP", quality=WEBP_QUALITY, method=method)
    return stream.getvalue()


def shaded_pixels(relief: ReliefGrid) -> Pixels:
    """Return red, green, blue and opacity of every cell, (rows, columns, 4).

    Parameters
    ----------
    relief
        Elevation on a north-up Web Mercator grid.

    Notes
    -----
    Web Mercator metres are longer than ground metres by 1 / cos(latitude), so slopes are taken with
    cells of ground size, row by row. The vertical scale is stretched in gentle country: this is a
    picture, not a measure of slope.
    """
    rows, columns = relief.elevation_m.shape
    pixels = np.zeros((rows, columns, 4), dtype=np.uint8)
    every = max(1, rows // LOOKED_AT), max(1, columns // LOOKED_AT)
    known_m = relief.elevation_m[:: every[0], :: every[1]]
    known_m = known_m[np.isfinite(known_m)]
    if known_m.size == 0:
        return pixels
    low_m, high_m = np.quantile(known_m, [0.02, 0.98])
    stretch = _exaggeration(relief, every[0])
    for top in range(0, rows, BLOCK):
        for left in range(0, columns, BLOCK):
            block = slice(top, min(top + BLOCK, rows)), slice(left, min(left + BLOCK, columns))
            shade = _shade(*_gradient(relief, *block), stretch)
            height = (relief.elevation_m[block].astype(np.float64) - low_m) / max(high_m - low_m, 1.0)
            pixels[block] = _colour(height, shade)
    return pixels


def _gradient(relief: ReliefGrid, rows: slice, columns: slice) -> tuple[FloatArray, FloatArray]:
    """Return the rise eastwards and northwards of some of the cells, taken with their neighbours."""
    top, left = max(rows.start - 1, 0), max(columns.start - 1, 0)
    around = relief.elevation_m[top : rows.stop + 1, left : columns.stop + 1]
    northing_m = relief.transform.f + (top + np.arange(len(around)) + 0.5) * relief.transform.e
    ground_share = 1.0 / np.cosh(northing_m / MERCATOR_RADIUS_M)  # cos(latitude) on the Mercator sphere
    width_m, height_m = abs(relief.transform.a) * ground_share, abs(relief.transform.e) * ground_share
    inner = slice(rows.start - top, rows.stop - top), slice(columns.start - left, columns.stop - left)
    rise_east, rise_north = horn_gradient(around, width_m, height_m)
    return rise_east[inner], rise_north[inner]


def _shade(rise_east: FloatArray, rise_north: FloatArray, stretch: float) -> FloatArray:
    east, north = rise_east * stretch, rise_north * stretch
    # A second, weaker light keeps slopes that face away from the first from sinking into black.
    return 0.7 * hillshade(east, north, 315.0, 45.0) + 0.3 * hillshade(east, north, 20.0, 60.0)


def _exaggeration(relief: ReliefGrid, every: int) -> float:
    """Return how much heights are stretched, as the gradients in every so many rows tell."""
    rows, columns = relief.elevation_m.shape
    looked_at = (slice(row, row + 1) for row in range(0, rows, every))
    gradient = np.concatenate([np.hypot(*_gradient(relief, row, slice(0, columns))) for row in looked_at])
    known = gradient[np.isfinite(gradient)]
    steep = float(np.quantile(known, 0.9)) if known.size else 0.0
    return float(np.clip(TYPICAL_GRADIENT / steep, 0.5, MOST_EXAGGERATION)) if steep > 0.0 else 1.0


def _colour(height: FloatArray, shade: FloatArray) -> Pixels:
    """Return the pixels of cells by the place of their height between low and high, and their light."""
    known = np.isfinite(height) & np.isfinite(shade)
    rgba = np.zeros((*height.shape, 4), dtype=np.uint8)
    height_step, light = _steps(np.where(known, height, 0.0)), _steps(np.where(known, shade, 0.0))
    at = np.linspace(0.0, 1.0, STEPS)
    flat = 0.7 * np.sin(np.radians(45.0)) + 0.3 * np.sin(np.radians(60.0))
    lit = np.interp(at, [0.0, flat, 1.0], [DARKEST, 1.0, LIGHTEST]).astype(np.float32)[light]
    for band in range(3):
        tint = np.interp(at, [0.0, 0.5, 1.0], TINTS_RGB[:, band]).astype(np.float32)
        rgba[..., band] = np.minimum(tint[height_step] * lit + np.float32(0.5), 255.0)
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
    edges_deg, (south_deg, north_deg) = to_degrees.transform([west_m, east_m], [south_m, north_m])
    # Beyond the 180th meridian the map goes on, and EPSG:4326 begins anew.
    west_deg, east_deg = near_to(np.asarray(edges_deg), relief.middle_deg).tolist()
    return west_deg, south_deg, east_deg, north_deg
