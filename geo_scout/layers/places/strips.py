"""Lines with a stated width become strips of ground."""

import numpy as np
import shapely

from geo_scout.layers.drafts import LayerDraft, geometries
from geo_scout.layers.places.shape_kinds import LINES
from geo_scout.model.columns import VECTOR_LAYERS


def draw_strips(draft: LayerDraft) -> None:
    """Turn the lines of a layer of polygons into strips of ``line_width_m``, half of it on each side.

    The draft is in the working system, in metres. Ends are cut straight, so that a straight line's strip
    has exactly its length times the width.
    """
    width_m = draft.table.line_width_m
    if width_m is None or not VECTOR_LAYERS[draft.name].shapes.startswith("polygons"):
        return
    shapes = geometries(draft.frame)
    is_line = np.isin(shapely.get_type_id(shapes), LINES)
    if not is_line.any():
        return
    shapes[is_line] = shapely.buffer(shapes[is_line], width_m / 2.0, cap_style="flat", join_style="round")
    what = f"{draft.told(is_line, 'line')} became strips {width_m:g} m wide (line_width_m)."
    draft.frame = draft.frame.set_geometry(shapes, crs=draft.crs)
    draft.say("line-widened", "note", what, "Draw them as areas where the width differs.")
