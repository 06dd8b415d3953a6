import re
from importlib.metadata import PackageNotFoundError, distribution

REFUSED = re.compile(r"(?<!L)\b(?:A?GPL|GNU (?:Affero )?General Public License)", re.IGNORECASE)


def runtime_packages() -> dict[str, str]:
    """Return every package a plain install brings, with what it says of its licence."""
    found: dict[str, str] = {}
    waiting = ["geo-scout"]
    while waiting:
        name = waiting.pop()
        key = name.lower().replace("_", "-")
        if key in found:
            continue
        try:
            one = distribution(name)
        except PackageNotFoundError:
            continue  # for another system
        classifiers = [c for c in one.metadata.get_all("Classifier") or [] if c.startswith("License")]
        expression = one.metadata.get("License-Expression") or (one.metadata.get("License") or "")[:100]
        found[key] = "; ".join([expression, *classifiers])
        for line in one.requires or []:
            requirement, _, marker = line.partition(";")
            if "extra ==" not in marker:
                waiting.append(re.split(r"[\s<>=!~\[(]", requirement.strip())[0])
    return found


def test_the_pattern_tells_gpl_from_lgpl():
    assert REFUSED.search("GPL-3.0-or-later")
    assert REFUSED.search("AGPL-3.0")
    assert not REFUSED.search("LGPL-3.0-or-later")


def test_no_gpl_at_run_time():
    packages = runtime_packages()
    assert {"geopandas", "numpy", "folium", "rasterio"} <= set(packages)
    assert {name: text for name, text in packages.items() if REFUSED.search(text)} == {}
