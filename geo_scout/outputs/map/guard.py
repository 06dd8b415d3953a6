"""The last look at a page before it is written: nothing remote, every script pinned by its hash."""

import base64
import hashlib
import re
from collections.abc import Iterable
from html.parser import HTMLParser

from geo_scout.outputs.map.static_files import leaflet_script, leaflet_style

_REFERENCES = frozenset(
    ("src", "href", "xlink:href", "srcset", "action", "formaction", "poster", "data", "background", "ping")
)
_NEVER = frozenset(
    ("base", "link", "iframe", "frame", "object", "embed", "applet", "form", "audio", "video", "source")
)
_INSIDE_THE_FILE = re.compile(r"\s*(#|data:|blob:)", re.IGNORECASE)
_STYLE_ADDRESS = re.compile(r"""url\(\s*['"]?([^'")]*)|(@import)|(image-set\()""", re.IGNORECASE)
_SCRIPT_REACHES_OUT = re.compile(
    r"""[a-z]{2,}://|["'`]//|\bfetch\s*\(|XMLHttpRequest|WebSocket|EventSource|sendBeacon|"""
    r"""\bimport\s*[("']|importScripts|innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\s*\(|"""
    r"""new\s+Function""",
    re.IGNORECASE,
)
_SVG_NAMESPACE = "http://www.w3.org/2000/svg"  # a name, never fetched


class RemoteReference(RuntimeError):
    """The page would ask for something outside itself, or would run text; it is not written."""


def content_policy(scripts: Iterable[str], styles: Iterable[str]) -> str:
    """Return the Content-Security-Policy that allows these scripts and styles and nothing else."""
    return (
        f"default-src 'none'; script-src {_sources(scripts)}; style-src {_sources(styles)}; "
        "img-src data: blob:; base-uri 'none'; form-action 'none'"
    )


def check_page(page: str) -> None:
    """Refuse a page that reaches outside itself.

    Parameters
    ----------
    page
        The whole file.

    Raises
    ------
    RemoteReference
        With the first thing found.
    """
    _Reader().read(page)


def _sources(texts: Iterable[str]) -> str:
    digests = (hashlib.sha256(text.encode("utf-8")).digest() for text in texts)
    return " ".join(f"'sha256-{base64.b64encode(digest).decode('ascii')}'" for digest in digests)


class _Reader(HTMLParser):
    """Walks the page's own markup."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self._inside = ""
        self._text: list[str] = []
        self._known = {leaflet_script(), leaflet_style()}

    def read(self, page: str) -> None:
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _NEVER:
            _refuse(f"a <{tag}> element")
        given = {name: value or "" for name, value in attrs}
        for name, value in given.items():
            if name.startswith("on"):
                _refuse(f"the handler {name}={value!r} of <{tag}>")
            if name in _REFERENCES and not _INSIDE_THE_FILE.match(value):
                _refuse(f"{name}={value[:80]!r} of <{tag}>")
            if name == "style":
                _check_style(value)
        if tag == "meta" and given.get("http-equiv", "").casefold() == "refresh":
            _refuse("a meta refresh")
        if tag == "script":
            if "src" in given:
                _refuse("a script with an address")
            self._inside = "data" if given.get("type") == "application/json" else "script"
        elif tag == "style":
            self._inside = "style"

    def handle_data(self, data: str) -> None:
        if self._inside:
            self._text.append(data)

    def handle_endtag(self, tag: str) -> None:
        if tag not in ("script", "style"):
            return
        text = "".join(self._text)
        if text not in self._known:
            if self._inside == "script":
                _check_script(text)
            elif self._inside == "style":
                _check_style(text)
        self._inside, self._text = "", []


def _check_script(text: str) -> None:
    if found := _SCRIPT_REACHES_OUT.search(text.replace(_SVG_NAMESPACE, "")):
        _refuse(f"{_around(text.replace(_SVG_NAMESPACE, ''), found)!r} in a script")


def _check_style(text: str) -> None:
    for found in _STYLE_ADDRESS.finditer(text):
        if found.group(1) is None or not _INSIDE_THE_FILE.match(found.group(1)):
            _refuse(f"{_around(text, found)!r} in a style")


def _around(text: str, found: re.Match[str]) -> str:
    return text[max(0, found.start() - 40) : found.end() + 60]


def _refuse(what: str) -> None:
    message = f"the map page is refused: it holds {what}"
    raise RemoteReference(message)
