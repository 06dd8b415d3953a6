"""The last look before writing: what is remote or could run is refused."""

import base64
import hashlib
import re
from collections.abc import Callable

import pytest

from geo_scout.model.result import SeasonResult
from geo_scout.outputs.map.guard import RemoteReference, check_page, content_policy
from geo_scout.outputs.map.write import build_page
from geo_scout.outputs.tables import build_tables

REFUSED = [
    '<img src="https://tiles.example/1.png">',
    '<img src="//tiles.example/1.png">',
    "<img src=marker-icon.png>",
    '<img srcset="a.png 2x">',
    '<script src="data:text/javascript,1"></script>',
    '<link rel="stylesheet" href="data:text/css,a">',
    '<a href="https://example.org">more</a>',
    '<a href="javascript:alert(1)">x</a>',
    '<iframe srcdoc="x"></iframe>',
    '<base href="https://example.org">',
    '<meta http-equiv="Refresh" content="0; url=https://example.org">',
    '<p onclick="go()">x</p>',
    '<p style="background: url(//example.org/a.png)">x</p>',
    "<style>p { background: url('https://example.org/a.png'); }</style>",
    '<style>@import "a.css";</style>',
    "<style>p { background: image-set('a.png' 1x); }</style>",
    "<script>fetch('data.json')</script>",
    "<script>new WebSocket(address)</script>",
    "<script>const tiles = 'https://tiles.example/{z}';</script>",
    "<script>const tiles = '//tiles.example/{z}';</script>",
    "<script>import('./a.js')</script>",
    "<script>node.innerHTML = name;</script>",
    "<script>eval(text)</script>",
]
ALLOWED = [
    '<a href="#sites">list</a>',
    '<img src="data:image/webp;base64,AAAA">',
    "<style>path { fill: url(#hatch); background: url(data:image/png;base64,AA); }</style>",
    "<script>document.createElementNS('http://www.w3.org/2000/svg', 'svg')</script>",
    '<script type="application/json">{"name":"see https://example.org or fetch(it)"}</script>',
]


@pytest.mark.parametrize("markup", REFUSED)
def test_refused(markup: str) -> None:
    with pytest.raises(RemoteReference, match="the map page is refused"):
        check_page(f"<!DOCTYPE html><html><body>{markup}</body></html>")


@pytest.mark.parametrize("markup", ALLOWED)
def test_allowed(markup: str) -> None:
    check_page(f"<!DOCTYPE html><html><body>{markup}</body></html>")


def test_the_policy_allows_exactly_the_scripts_of_the_page(make_season: Callable[..., SeasonResult]) -> None:
    season = make_season(4, relief_px=0)
    page = build_page(season, build_tables(season, "crew"), "crew")
    scripts = re.findall(r"<script>(.*?)</script>", page, flags=re.DOTALL)
    assert len(scripts) > 10
    expected = [
        f"'sha256-{base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()}'"
        for script in scripts
    ]
    policy = re.search(r'http-equiv="Content-Security-Policy" content="([^"]+)"', page)
    assert policy is not None
    told = policy.group(1).replace("&#x27;", "'")
    assert re.search(r"script-src ([^;]+);", told).group(1).split() == expected  # type: ignore[union-attr]
    assert "default-src 'none'" in told
    assert "unsafe" not in told


def test_a_changed_script_has_another_policy() -> None:
    assert content_policy(["a"], []) != content_policy(["b"], [])
