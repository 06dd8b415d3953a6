import re
import xml.etree.ElementTree as ET

import pytest

from geo_scout.model.criteria import Curve
from geo_scout.outputs.value_curves_picture import PLOT_HEIGHT, CurveBlock, CurvePanel, value_curves_svg

SVG = "{http://www.w3.org/2000/svg}"
RISING = {"shape": "rising", "from": 0, "to": 10}


def drawn(curve=None, ranked=(), left_out=(), missing="", unit="ha"):
    shape = Curve.model_validate(curve or RISING)
    panel = CurvePanel("Infested area", unit, 0.25, shape, tuple(ranked), tuple(left_out), missing)
    return ET.fromstring(value_curves_svg("Valley", [CurveBlock("Sources for beetle", "1 ranked", (panel,))]))


def texts(svg):
    return [one.text for one in svg.iter(f"{SVG}text")]


def line(svg):
    [path] = [one for one in svg.findall(f"{SVG}path") if one.get("stroke-width") == "1.5"]
    return [(float(x), float(y)) for x, y in re.findall(r"([\d.]+) ([\d.]+)", path.get("d"))]


def discs(svg):
    return [(float(one.get("cx")), float(one.get("cy"))) for one in svg.findall(f"{SVG}circle")]


def crosses(svg):
    return [one for one in svg.findall(f"{SVG}path") if one.get("stroke-width") == "1.3"]


def test_the_title_holds_what_is_measured_its_unit_and_its_weight():
    assert "Infested area [ha], weight 0.250" in texts(drawn())
    assert "Infested area, weight 0.250" in texts(drawn(unit=""))


def test_a_mark_lies_on_the_curve():
    """Halfway up a rising line is halfway up the plot."""
    svg = drawn(ranked=[5.0, 0.0, 10.0])
    heights = sorted(y for _, y in discs(svg))
    assert heights[2] - heights[0] == pytest.approx(PLOT_HEIGHT, abs=0.5)
    assert heights[1] == pytest.approx((heights[0] + heights[2]) / 2, abs=0.5)


def test_sites_left_out_are_crosses_and_sites_on_one_spot_are_drawn_once():
    svg = drawn(ranked=[5.0, 5.0, 5.0001], left_out=[2.0])
    assert (len(discs(svg)), len(crosses(svg))) == (1, 1)


def test_steps_are_upright():
    svg = drawn({"shape": "steps", "limits": [2.0, 6.0], "levels": [0.0, 0.5, 1.0]})
    across = [x for x, _ in line(svg)]
    assert len(across) == 6
    assert (across[1], across[3]) == (across[2], across[4])


def test_an_s_is_smooth_and_ends_where_it_is_full():
    svg = drawn({"shape": "s_shaped", "from": 0, "to": 10, "direction": "falling"})
    heights = [y for _, y in line(svg)]
    assert len(heights) > 30
    assert heights == sorted(heights)
    assert heights[-1] - heights[0] == pytest.approx(PLOT_HEIGHT, abs=0.2)


def test_a_step_without_width_has_an_axis():
    svg = drawn({"shape": "rising", "from": 3, "to": 3}, ranked=[3.0])
    assert len({x for x, _ in line(svg)}) >= 2


def test_far_sites_are_drawn_at_the_end_and_counted():
    svg = drawn(
        ranked=[5.0, 900.0], left_out=[400.0], missing="2 not measured (1 of them ranked): value 0 to 1"
    )
    [told] = [one for one in texts(svg) if one and one.startswith("2 not")]
    assert "2 beyond the axis" in " ".join(texts(svg))
    assert told.startswith("2 not measured (1 of them ranked)")


def test_the_axis_has_round_numbers():
    assert {"0", "5", "10"} <= set(texts(drawn(ranked=[12.0])))
    fine = drawn({"shape": "falling", "from": 0.001, "to": 0.002})
    assert "0.001" in texts(fine)


def test_a_curve_below_zero_is_drawn_from_left_to_right():
    across = [x for x, _ in line(drawn({"shape": "rising", "from": -20, "to": 0}, ranked=[-55.0, 3.0]))]
    assert across == sorted(across)


@pytest.mark.parametrize(
    ("start", "end"), [(-1e308, 1e308), (5.0, 5.000000000000001), (0.0, 0.0), (0.0, 5e-324), (1e300, 1.5e300)]
)
def test_limits_beyond_all_sense_still_make_a_picture(start, end):
    svg = drawn({"shape": "rising", "from": start, "to": end}, ranked=[0.0, 5.0], left_out=[-3.0])
    assert len(line(svg)) >= 2
    assert "nan" not in ET.tostring(svg, encoding="unicode")
