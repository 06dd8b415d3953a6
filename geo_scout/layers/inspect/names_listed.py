"""The weeds, agents, land classes and jurisdictions the files name, and which agent lives on which weed."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from geo_scout.layers.cells.near_names import near_groups
from geo_scout.layers.inspect.names import words_of
from geo_scout.layers.places.angles import read_angles
from geo_scout.model.draft import LayerGuess, NameGuess
from geo_scout.model.folded import folded
from geo_scout.model.listed import counted

NAMES_AT_MOST = 12
_AGENT_LAYERS = ("releases", "visits", "requests")
_LEAST_NEAR = 0.7
_COMPARED_AT_MOST = 200


def list_names(layers: Iterable[LayerGuess], column: str) -> tuple[NameGuess, ...]:
    """Return the names in one of our columns, the commonest first; capitals and spaces do not matter."""
    spellings: dict[str, Counter[str]] = defaultdict(Counter)
    for layer in layers:
        found = layer.matched(column)
        for text, number in found.counts.items() if found else ():
            spellings[folded(text)][text] += number
    names = [NameGuess(written.most_common(1)[0][0], written.total()) for written in spellings.values()]
    return tuple(sorted(names, key=lambda one: (-one.rows, one.name)))


def list_agents(layers: Mapping[str, LayerGuess], hosts: Sequence[NameGuess]) -> tuple[NameGuess, ...]:
    """Return the agents the files name, each with the weed it seems to live on.

    Names so near that they may be one agent are told with the commonest of them.
    """
    named = list_names([layers[kind] for kind in _AGENT_LAYERS if kind in layers], "agent")
    return tuple(_with_host(agent, layers, hosts) for agent in _near_together(named))


def _near_together(named: Sequence[NameGuess]) -> Iterator[NameGuess]:
    """Yield the first of each group of near names, with the others; the commonest name comes first."""
    for group in near_groups([one.name for one in named[:_COMPARED_AT_MOST]]):
        first, *others = (named[place] for place in group)
        yield replace(first, alike=tuple((one.name, one.rows) for one in others))
    yield from named[_COMPARED_AT_MOST:]


def _with_host(agent: NameGuess, layers: Mapping[str, LayerGuess], hosts: Sequence[NameGuess]) -> NameGuess:
    host, evidence = _host_by_name(agent.name, hosts)
    if not host and len(hosts) == 1:
        host, evidence = hosts[0].name, "it is the only weed in the files"
    if not host:
        host, evidence = _host_by_place(agent.name, layers)
    return replace(agent, host=host, evidence=evidence)


def _host_by_name(agent: str, hosts: Sequence[NameGuess]) -> tuple[str, str]:
    """Return the one weed whose words stand in the agent's name."""
    words = set(words_of(agent))
    inside = [host.name for host in hosts if set(words_of(host.name)) <= words]
    if len(inside) == 1:
        return inside[0], f"the agent's name holds '{inside[0]}'"
    return "", ""


def _host_by_place(agent: str, layers: Mapping[str, LayerGuess]) -> tuple[str, str]:
    """Return the weed that is nearest at most of the agent's releases."""
    infestations, releases = layers.get("infestations"), layers.get("releases")
    if infestations is None or releases is None:
        return "", ""
    weeds, agents = infestations.matched("host"), releases.matched("agent")
    if weeds is None or agents is None:
        return "", ""
    grown, put = places_of(infestations), places_of(releases)
    ours = np.array([folded(text) == folded(agent) for text in agents.values], dtype=bool)
    if len(grown) != len(weeds.values) or len(put) != len(ours):
        return "", ""
    has_weed = np.isfinite(grown).all(axis=1) & np.array([text != "" for text in weeds.values], dtype=bool)
    at = put[ours & np.isfinite(put).all(axis=1)]
    if not has_weed.any() or not len(at):
        return "", ""
    # A degree of longitude is shorter by the cosine of the latitude: near enough for the nearest of many.
    squeeze = np.array([np.cos(np.radians(np.median(at[:, 1]))), 1.0])
    _, nearest = cKDTree(grown[has_weed] * squeeze).query(at * squeeze)
    names = [text for text, known in zip(weeds.values, has_weed, strict=True) if known]
    counts = Counter(folded(names[index]) for index in np.atleast_1d(nearest))
    best, number = counts.most_common(1)[0]
    if number < _LEAST_NEAR * len(at):
        return "", ""
    written = next(name for name in names if folded(name) == best)
    return written, f"it is the nearest weed at {number:,} of {counted(len(at), 'release')}"


def places_of(layer: LayerGuess) -> NDArray[np.float64]:
    """Return longitude and latitude of each row looked at, (n, 2); empty where unknown [deg]."""
    nowhere = np.empty((0, 2))
    if layer.vector is None:
        return nowhere
    if layer.vector.middles_deg:
        return np.array(layer.vector.middles_deg, dtype=np.float64)
    east, north = layer.matched("longitude_deg"), layer.matched("latitude_deg")
    if east is None or north is None:
        return nowhere
    longitude, _ = read_angles(np.array(east.values, dtype=object), "longitude")
    latitude, _ = read_angles(np.array(north.values, dtype=object), "latitude")
    return np.column_stack([longitude, latitude])


def middle_of(layers: Iterable[LayerGuess]) -> tuple[float, float] | None:
    """Return the median longitude and latitude of layers; None where none is placed [deg]."""
    places = [places for layer in layers if len(places := places_of(layer))]
    known = np.concatenate(places) if places else np.empty((0, 2))
    known = known[np.isfinite(known).all(axis=1)]
    if not len(known):
        return None
    east, north = np.median(known, axis=0)
    return round(float(east), 4), round(float(north), 4)
