"""The backtest as SVG: how often each rule was right, and what was told against what came about."""

from collections.abc import Iterator

import numpy as np

from geo_scout.model.backtest import ALL, DISTRICTS, RANDOM, SCORE, Assessment, Backtest
from geo_scout.model.outcomes import LABELS
from geo_scout.model.rows import each_row
from geo_scout.outputs.backtest_words import conclusion_words, curve_falls, others_sureness
from geo_scout.outputs.svg_marks import MARGIN, WIDTH, cut_words, open_picture, svg_text

TOP, LINE, ROW, GAP = 62, 14, 20, 26
PLOT = 180
_LEFT, _LETTERS, _NAME_LETTERS = 158, 66, 26
_CONFIDENT, _FAINT = "#0072B2", "#bbbbbb"
_LABEL_WORDS = {"established": "established", "failed": "failed", "unused": "not used"}
_COLOURS = {"established": "#0072B2", "failed": "#D55E00", "unused": "#767676"}


def backtest_svg(title: str, result: Backtest) -> str:
    """Return the picture as SVG text, without date of making, script or outside font.

    Parameters
    ----------
    title
        Title of the season.
    result
        The backtest. A picture names rules and numbers alone, so that it is the same for every audience.
    """
    body, top = [], TOP
    for one in result.assessments:
        drawn, top = _draw_agent(one, result, top)
        body += drawn
        top += GAP
    notes, top = _draw_words(
        "Selection: only releases that somebody looked after and that can be told are counted. Which those "
        "are was not drawn by lot, so nothing here holds for the others.",
        top,
    )
    drawn = [
        *open_picture("Did the score tell what establishes?", title, top + 6),
        *body,
        *notes,
    ]
    return "\n".join([*drawn, "</svg>\n"])


def _draw_agent(one: Assessment, result: Backtest, top: int) -> tuple[list[str], int]:
    reasons = result.reasons(one.agent)
    used, total = one.established + one.failed, sum(reasons.values())
    drawn = [svg_text(MARGIN, top, cut_words(one.agent, 50), size=12, weight="bold")]
    counts = (
        f"{total} releases, {used} used: {one.established} established, {one.failed} failed; "
        f"{result.unvisited(one.agent)} never visited."
    )
    for words in (counts, conclusion_words(one)):
        lines, top = _draw_words(words, top + 4)
        drawn += lines
    lines, top = _draw_scores(one.agent, result, top + 20)
    drawn += lines
    if not (one.established and one.failed):
        return drawn, top
    lines, top = _draw_areas(one, top + 24)
    drawn += lines
    if len(one.calibration):
        lines, top = _draw_calibration(one, top + 20)
        drawn += lines
    return drawn, top


def _draw_scores(agent: str, result: Backtest, top: int) -> tuple[list[str], int]:
    """Return a stroke per release at the score of its day, in a row for each outcome."""
    cases = result.cases[result.cases["agent"] == agent]
    if not len(cases):
        return [], top - 20
    bottom = top + 10 + ROW * len(LABELS)
    drawn = [svg_text(MARGIN, top, "The score on the day of release, a stroke each", weight="bold")]
    for number, label in enumerate(LABELS):
        at = top + 20 + ROW * number
        scores = cases.loc[cases["label"] == label, "score"].to_numpy()
        known = np.sort(scores[np.isfinite(scores)])
        name = _LABEL_WORDS[label]
        if len(known) < len(scores):
            name += f", {len(scores) - len(known)} unscored"
        drawn += [
            svg_text(MARGIN, at + 4, f"{len(scores)} {name}"),
            f'<path d="M{_LEFT} {at}H{WIDTH - MARGIN}" stroke="{_FAINT}"/>',
        ]
        strokes = "".join(f"M{_at(float(score)):.1f} {at - 7}v14" for score in known)
        if strokes:
            drawn.append(f'<path d="{strokes}" stroke="{_COLOURS[label]}" stroke-width="2" fill="none"/>')
    drawn += [
        svg_text(_at(share), bottom + 12, words, anchor="end" if share else "start")
        for share, words in ((0.0, "0"), (1.0, "1"))
    ]
    return drawn, bottom + 14


def _draw_areas(one: Assessment, top: int) -> tuple[list[str], int]:
    """Return a line with its interval per rule, and where the next thing may stand."""
    rows = list(each_row(one.skill[one.skill["split"] == ALL]))
    bottom = top + 24 + ROW * len(rows)
    middle = _at(0.5)
    drawn = [
        svg_text(MARGIN, top, "AUC, all releases: right of the line, better than by lot", weight="bold"),
        svg_text(
            MARGIN, top + 13, f"Bars: 95 % of the score and by lot, {others_sureness(one)} of the others."
        ),
        f'<path d="M{middle:.1f} {top + 22}V{bottom}" stroke="#000000" stroke-dasharray="3 3"/>',
    ]
    for number, row in enumerate(rows):
        at = top + 34 + ROW * number
        bold = "bold" if row.rule == SCORE else "normal"
        drawn.append(svg_text(MARGIN, at + 4, cut_words(str(row.rule), _NAME_LETTERS), weight=bold))
        drawn += list(_interval(row, at))
    drawn += [
        svg_text(_at(share), bottom + 12, f"{100 * share:.0f} %", anchor="end" if share else "start")
        for share in (0.0, 1.0)
    ]
    drawn.append(svg_text(middle - 12, bottom + 12, "50 %"))
    return drawn, bottom + 14


def _interval(row: "object", at: int) -> Iterator[str]:
    """Yield the interval as a bar and the area as a mark: a diamond, open where the rule draws by lot."""
    low, best, high = (getattr(row, name) for name in ("auc_low_share", "auc_share", "auc_high_share"))
    yield f'<path d="M{_LEFT} {at}H{WIDTH - MARGIN}" stroke="{_FAINT}"/>'
    if best != best:
        yield svg_text(_LEFT + 4, at - 2, "not known")
        return
    is_lot = getattr(row, "rule", "") == RANDOM
    colour = "#767676" if is_lot else _CONFIDENT
    right = max(_at(high), _at(low) + 1)
    yield f'<path d="M{_at(low):.1f} {at}H{right:.1f}" stroke="{colour}" stroke-width="4"/>'
    fill = "#ffffff" if is_lot else "#000000"
    yield (
        f'<path d="M{_at(best) - 4:.1f} {at}l4 -4l4 4l-4 4z" fill="{fill}" stroke="#000000" '
        'stroke-width="1.5"/>'
    )


def _draw_calibration(one: Assessment, top: int) -> tuple[list[str], int]:
    """Return what was told against what came about, with intervals and the number in each group."""
    how = (
        "each district told by the others" if one.calibration_split == DISTRICTS else "later told by earlier"
    )
    left, base = MARGIN + 40, top + (26 if curve_falls(one) else 12) + PLOT
    drawn = [
        svg_text(MARGIN, top, f"Told and seen: the score's chance, {how}", weight="bold"),
        *([svg_text(MARGIN, top + 13, "Higher scores were told lower chances.")] if curve_falls(one) else []),
        f'<rect x="{left}" y="{base - PLOT}" width="{PLOT}" height="{PLOT}" fill="none" stroke="{_FAINT}"/>',
        f'<path d="M{left} {base}L{left + PLOT} {base - PLOT}" stroke="#000000" stroke-dasharray="3 3"/>',
        svg_text(left, base + 13, "0 %"),
        svg_text(left + PLOT, base + 13, "told 100 %", anchor="end"),
        svg_text(left - 4, base, "0 %", anchor="end"),
        svg_text(left - 4, base - PLOT + 10, "100 %", anchor="end"),
        svg_text(left - 4, base - PLOT + 22, "seen", anchor="end"),
    ]
    for number, row in enumerate(each_row(one.calibration)):
        across = left + row.chance_share * PLOT
        up = [
            base - share * PLOT
            for share in (row.observed_low_share, row.observed_share, row.observed_high_share)
        ]
        drawn += [
            f'<path d="M{across:.1f} {up[0]:.1f}V{up[2]:.1f}" stroke="{_CONFIDENT}" stroke-width="2"/>',
            f'<circle cx="{across:.1f}" cy="{up[1]:.1f}" r="3.5" fill="#000000"/>',
            svg_text(
                left + PLOT + 10,
                base - PLOT + 24 + LINE * number,
                f"told {100 * row.chance_share:.0f} %: {row.established_count} of {row.release_count}",
            ),
        ]
    drawn.append(svg_text(left + PLOT + 10, base - PLOT + 8, "established:", weight="bold"))
    return drawn, base + 16


def _draw_words(words: str, top: int) -> tuple[list[str], int]:
    """Return a sentence in lines that fit, the first one line below ``top``, and where the last stands."""
    lines, line = [], ""
    for word in words.split():
        if line and len(line) + 1 + len(word) > _LETTERS:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    lines.append(line)
    drawn = [svg_text(MARGIN, top + LINE * (number + 1), one) for number, one in enumerate(lines)]
    return drawn, top + LINE * len(lines)


def _at(share: float) -> float:
    return _LEFT + share * (WIDTH - MARGIN - _LEFT)
