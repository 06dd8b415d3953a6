'use strict';
// Two sites side by side: facts left and right of their names, and a bar between the values of each criterion.
seasonMap.part(() => {
  const { element, words, numbers, data, compareFigures, presenceFacts, scoreParts } = seasonMap;
  const { siteOf, nameOf, signed } = compareFigures;
  const MARKS = words.compareMarks;

  const isThere = (value) => value !== null && value !== undefined && value !== '';

  function rank(site) {
    if (site.group !== 'ranked') return site.group === 'worthScouting' ? words.worthScouting : words.leftOut;
    return words.rankOf(site.rank, data.ranking(data.season.agents.findIndex((one) => one.name === site.agent), site.role).rankedCount);
  }

  const score = (site) => (site.group === 'ranked' ? numbers.score(site.score_low) : words.compareNoScore);

  function interval(site) {
    if (site.group !== 'ranked') return '';
    return scoreParts.isOpen(site) ? words.fromTo(numbers.score(site.score_low), numbers.score(site.score_high)) : words.compareExact;
  }

  function presence(place) {
    const told = data.presence(place.agentIndex, place.siteId);
    if (told === null) return words.unknown;
    return [presenceFacts.stateIn(told.state, told.year), presenceFacts.chance(told.low, told.best, told.high)].filter(isThere).join(', ');
  }

  const day = (moment) => (site) => numbers.longDate(site[`window_${moment}`]);

  // Label, and what each site has to say; a line of which neither says anything is left out.
  function facts(one, other) {
    const of = (label, told) => [label, ...[one, other].map((place) => told(siteOf(place), place) || '')];
    const isApart = !compareFigures.isSameRanking(one, other);
    const ranking = (site) => [words.role[site.role], data.season.agents.length > 1 ? site.agent : ''].filter(Boolean).join(', ');
    return [
      isApart ? of(words.roleGroup, ranking) : null,
      of(words.compareRank, rank),
      of(words.score, score),
      of(words.compareInterval, interval),
      of(words.presence, (_, place) => presence(place)),
      of(words.compareWindow.opens, day('opens')),
      of(words.compareWindow.peaks, day('peaks')),
      of(words.compareWindow.closes, day('closes')),
    ].filter((line) => line !== null && line.slice(1).some(isThere));
  }

  const factRow = ([label, first, second]) => element('tr', {},
    element('td', {}, first || words.noneSaid), element('th', { scope: 'row' }, label), element('td', {}, second || words.noneSaid));

  // What takes whole sentences has the whole width.
  function textRows(label, one, other, told) {
    const said = [one, other].map((place, number) => [MARKS[number], told(siteOf(place))]).filter(([, text]) => isThere(text));
    if (said.length === 0) return [];
    return [
      element('tr', { class: 'criterion' }, element('th', { scope: 'row', colspan: 3 }, label)),
      ...said.map(([mark, text]) => element('tr', { class: 'below of-text' }, element('td', { colspan: 3 }, element('span', { class: 'mark' }, mark), ' ', text))),
    ];
  }

  const range = (low, high, say) => (high > low ? words.fromTo(say(low), say(high)) : say(low));

  // What the value does to the score: points that add up, or a factor; where neither holds, nothing.
  function effect(kind, part) {
    if (kind === 'points') return scoreParts.pointsOf(part);
    return kind === 'logarithms' ? words.compareFactor(range(part.low, part.high, (value) => (value ** part.weight).toFixed(3))) : null;
  }

  function partCell(kind, part) {
    const isMeasured = part.measure !== null;
    return element('td', {},
      element('strong', {}, isMeasured ? numbers.quantity(part.measure, part.unit) : words.compareNotMeasured),
      part.low === null ? null : element('span', { class: 'note' }, words.compareValue(range(part.low, part.high, (value) => value.toFixed(2)))),
      part.low === null || effect(kind, part) === null ? null : element('span', { class: 'note' }, effect(kind, part)));
  }

  function told(by, kind) {
    if (by === null) return words.unknown;
    if (!Number.isFinite(by)) return words.compareOnlyOne(MARKS[by > 0 ? 0 : 1]);
    if (Math.abs(by) < 0.0005) return words.compareSame;
    return words.compareFor[kind](MARKS[by > 0 ? 0 : 1], signed(Math.abs(by)));
  }

  // To the left it speaks for the first site, to the right for the second.
  function bar(by, most) {
    const share = Number.isFinite(by) ? Math.abs(by) / most : 1;
    const filled = element('i', { class: by > 0 ? 'for-first' : 'for-second' });
    filled.style.width = `${(50 * Math.min(1, share)).toFixed(1)}%`;
    return element('span', { class: 'split-bar', 'aria-hidden': 'true' }, by !== null && Math.abs(by) >= 0.0005 ? filled : null);
  }

  function partRows(kind, every) {
    const most = Math.max(0.001, ...every.map(({ by }) => by).filter(Number.isFinite).map(Math.abs));
    return every.flatMap(({ first, second, by }) => [
      element('tr', { class: 'criterion' }, element('th', { scope: 'row', colspan: 3 }, first.label)),
      element('tr', { class: 'below', 'data-criterion': first.name },
        partCell(kind, first),
        element('td', { class: 'between' }, bar(by, most), element('span', { class: 'note' }, told(by, kind))),
        partCell(kind, second)),
    ]);
  }

  const headCell = (number, site) => element('th', { scope: 'col' },
    element('span', { class: 'mark' }, MARKS[number]), ' ', element('bdi', {}, nameOf(site)));

  seasonMap.compareTable = (one, other) => {
    const kind = compareFigures.kindOf(one, other);
    return element('table', { class: 'compare-table', 'aria-label': words.compareTitle },
      element('thead', {}, element('tr', {}, headCell(0, siteOf(one)), element('td', {}), headCell(1, siteOf(other)))),
      element('tbody', {}, 
        ...facts(one, other).map(factRow),
        ...textRows(words.whyOut, one, other, (site) => (site.group === 'ranked' ? '' : site.whyOut.join(' '))),
        ...partRows(kind, compareFigures.differences(one, other)),
        ...textRows(words.cautionsHere, one, other, (site) => site.cautions)));
  };
});
