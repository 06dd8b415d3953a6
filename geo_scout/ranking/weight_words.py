"""How weights came about, and how well the judgements behind them agree, in words."""

from collections.abc import Iterator

from geo_scout.model.weighing import ConsistencyNote, DoubtfulJudgement, Weighing


def weighing_lines(weighing: Weighing) -> Iterator[str]:
    """Yield how the weights of a ranking came about, groups and judgements with their figures.

    Parameters
    ----------
    weighing
        The weights.
    """
    yield f"Weights, {weighing.how}, summing to 1"
    for group, members in weighing.groups.items():
        shares = ", ".join(f"{name} {weighing.weights[name]:.6f}" for name in members)
        yield f"  {group} {weighing.group_weights[group]:.6f}: {shares}"
    for note in weighing.consistency:
        about = f"judgements inside {note.about}" if note.about else "judgements"
        yield f"  {about}: {consistency_words(note)}"
        mending = mending_words(note)
        if mending:
            yield f"    fits the others least: {mending}"


def consistency_words(note: ConsistencyNote) -> str:
    """Return the consistency ratio with the figures it comes from."""
    if len(note.names) < 3:
        return f"{len(note.names)} names cannot contradict each other (consistency ratio 0)"
    verdict = "accepted" if note.is_accepted else "not accepted"
    return (
        f"consistency ratio {note.ratio:.4f}, {verdict} (up to {note.accepted_up_to:.2f}), from the largest "
        f"eigenvalue {note.lambda_max:.4f} of {len(note.names)} names and the random index "
        f"{note.random_index:.2f} of the table {note.table}"
    )


def mending_words(note: ConsistencyNote) -> str:
    """Return the judgement that agrees least and what would mend it; "" where all agree."""
    one = note.doubtful
    if one is None:
        return ""
    told = (
        f"{one.more} is judged {times_words(one.times)} {one.than}; all judgements together make it "
        f"{one.implied:.2f} times"
    )
    if one.equally_far > 1:
        told += f", and {one.equally_far - 1} other judgements are as far off"
    if one.ratio_after < note.ratio:
        told += f"; with {_mended(one)} the ratio would be {one.ratio_after:.4f}"
    return f"{told}."


def times_words(times: float) -> str:
    """Return how many times as important, in words.

    >>> times_words(3.0), times_words(1.0)
    ('3 times as important as', 'as important as')
    """
    return "as important as" if times == 1 else f"{times:.3g} times as important as"


def _mended(one: DoubtfulJudgement) -> str:
    """Return the judgement to write instead, the right way round.

    A scale of whole numbers has no 0.2 times: the names are exchanged.
    """
    if one.mended < 1:
        return f'{{more = "{one.than}", than = "{one.more}", times = {1 / one.mended:g}}}'
    return f'{{more = "{one.more}", than = "{one.than}", times = {one.mended:g}}}'
