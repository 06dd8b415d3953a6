import re
import xml.etree.ElementTree as ET

from geo_scout.outputs.methods_picture import MethodBlock, MethodColumn, SiteRanks, methods_svg
from geo_scout.outputs.svg_marks import WIDTH

SVG = "{http://www.w3.org/2000/svg}"
COLUMNS = (MethodColumn("weighted", "sum", "the season's"), MethodColumn("weighted", "product", "tau 0.33"))


def drawn(*sites, places=2):
    block = MethodBlock("Release sites for beetle", COLUMNS, tuple(SiteRanks(*one) for one in sites), places)
    return ET.fromstring(methods_svg("Valley", [block]))


def marks(svg, tag):
    """Return the marks above the legend, by site."""
    groups = [one for one in svg.findall(f"{SVG}g") if one.get("class") != "legend"]
    return {one.find(f"{SVG}title").text.split(":")[0]: one.findall(f"{SVG}{tag}") for one in groups}


def test_a_disc_is_among_the_first_and_a_square_further_down():
    svg = drawn(("A", (1, 4)), ("B", (2, 1)), ("C", (3, 2)))
    assert {site: len(found) for site, found in marks(svg, "circle").items()} == {"A": 1, "B": 2, "C": 1}
    assert {site: len(found) for site, found in marks(svg, "rect").items()} == {"A": 1, "B": 0, "C": 1}


def test_every_mark_carries_its_rank_and_stands_in_the_order_of_the_ranks():
    svg = drawn(("A", (1, 4)), ("B", (2, 1)), ("C", (3, 2)))
    texts = {site: [one.text for one in found] for site, found in marks(svg, "text").items()}
    assert texts == {"A": ["A", "1", "4"], "B": ["B", "2", "1"], "C": ["C", "3", "2"]}
    paths = {site: found[0].get("d") for site, found in marks(svg, "path").items()}
    ends = {site: [int(y) for y in re.findall(r" (\d+)", path)] for site, path in paths.items()}
    assert ends["A"][0] < ends["B"][0] < ends["C"][0]
    assert ends["B"][1] < ends["C"][1] < ends["A"][1]


def test_the_line_below_the_first_is_drawn_where_something_lies_below():
    def broken(svg):
        return [one for one in svg.findall(f"{SVG}path") if one.get("stroke-dasharray") == "4 3"]

    assert len(broken(drawn(("A", (1, 4)), ("B", (2, 1)), ("C", (3, 2))))) == 1
    assert broken(drawn(("A", (1, 2)), ("B", (2, 1)))) == []


def test_more_sites_than_colours_have_dashes():
    svg = drawn(*((f"S{n}", (n, n)) for n in range(1, 9)), places=8)
    looks = [(one[0].get("stroke"), one[0].get("stroke-dasharray")) for one in marks(svg, "path").values()]
    assert len(set(looks)) == 8


def test_nothing_lies_beyond_the_picture_and_names_are_safe():
    svg = drawn(("<b>&", (1, 2)), ("B" * 40, (2, 1)))
    words = [one.text for one in svg.iter(f"{SVG}text")]
    assert "<b>&" in words
    assert all(0 <= float(one.get("x")) <= WIDTH for one in svg.iter(f"{SVG}text"))
    assert {"the season's", "tau 0.33"} <= set(words)


def test_without_a_ranked_site_it_says_so():
    svg = ET.fromstring(methods_svg("Valley", []))
    assert "No site is ranked." in [one.text for one in svg.iter(f"{SVG}text")]
