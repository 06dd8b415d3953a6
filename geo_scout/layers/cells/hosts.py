"""Weeds named in a layer are matched to the hosts of the season's agents."""

from collections import Counter

from geo_scout.layers.cells.text_values import each_once
from geo_scout.layers.drafts import LayerDraft
from geo_scout.layers.wording import did_you_mean
from geo_scout.model.folded import folded
from geo_scout.model.listed import counted, listed


def keep_hosts(draft: LayerDraft) -> None:
    """Spell the season's hosts as its agents do; keep other weeds aside with one note.

    A blank host stays as it is. Other weeds do not count towards the share of bad features.
    """
    ours = {folded(host): host for host in draft.season.hosts}
    written = draft.texts("host")
    known = each_once(written, lambda text: ours.get(folded(text), ""))
    is_other = (written != "") & (known == "")
    draft.frame["host"] = known
    others = Counter(written[is_other].tolist())
    if others:
        counts = listed([f"{weed} ({number:,})" for weed, number in sorted(others.items())])
        number = counted(int(is_other.sum()), "feature")
        verb = "is" if is_other.sum() == 1 else "are"
        what = f"{number} of weeds that no agent of this season lives on {verb} kept aside: {counts}."
        draft.say(
            "other-hosts", "note", what, "Nothing; they are used when an agent's profile names them as host."
        )
        draft.drop(is_other)
        draft.considered -= int(is_other.sum())


def check_hosts_present(draft: LayerDraft, written: list[str]) -> None:
    """Stop where no infestation of any host is left; caution for each host that has none.

    Parameters
    ----------
    draft
        The infestations, host names spelt as the agents' profiles do.
    written
        Every host name in the file.
    """
    present = set(draft.texts("host"))
    names = sorted({name for name in written if name})
    absent = [host for host in draft.season.hosts if host not in present]
    if len(absent) == len(draft.season.hosts):
        hosts = " and ".join(f"'{host}'" for host in draft.season.hosts)
        what = f"there is no infestation of {hosts}; the weeds in the file are: {listed(names) or 'none'}."
        fix = f"Write the host in the agent's profile as the file does.{did_you_mean(absent[0], names)}"
        draft.say("no-host", "stop", what, fix)
        return
    for host in absent:
        what = f"there is no infestation of '{host}', the host of an agent of this season."
        draft.say(
            "host-absent",
            "caution",
            what,
            f"Check the spelling in the agent's profile.{did_you_mean(host, names)}",
        )
