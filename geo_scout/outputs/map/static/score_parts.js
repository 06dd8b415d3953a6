'use strict';
// How a score is drawn: the short bar of a list row, and the parts of a card.
seasonMap.part(() => {
  const { element, numbers, symbols, words } = seasonMap;
  const percent = (share) => `${Math.max(0, Math.min(100, 100 * share)).toFixed(1)}%`;

  const isOpen = (site) => site.score_low !== null && site.score_high !== null && site.score_high - site.score_low > 1e-9;

  // Solid up to what is sure, hatched up to what a missing measure could still add.
  function bar(site) {
    const sure = site.score_low ?? site.score;
    const solid = element('i');
    solid.style.width = percent(sure);
    solid.style.background = symbols.fill(sure);
    if (!isOpen(site)) return element('span', { class: 'score-bar', 'aria-hidden': 'true' }, solid);
    const hatched = element('i', { class: 'open-end' });
    hatched.style.width = percent(site.score_high);
    return element('span', { class: 'score-bar', 'aria-hidden': 'true' }, hatched, solid);
  }

  // Solid for what is sure, hatched for what a missing measure leaves open.
  function partBar(part) {
    const solid = element('i');
    solid.style.width = percent(part.low ?? 0);
    const isOpen = part.low === null || part.high > part.low;
    const hatched = isOpen ? element('i', { class: 'open-end' }) : null;
    if (hatched) hatched.style.width = percent(part.high ?? 1);
    return element('span', { class: 'part-bar', 'aria-hidden': 'true' }, hatched, solid);
  }

  function pointsOf(part) {
    const most = numbers.score(part.weight);
    if (part.low === null || (part.low === 0 && part.high === 1)) return words.points(words.unknown, most);
    if (part.high > part.low) return words.pointsRange(numbers.score(part.points), numbers.score(part.points_high), most);
    return words.points(numbers.score(part.points), most);
  }

  function partRows(part) {
    // What drives a climate gap has a place of its own on the card.
    const note = part.name === 'climate_gap' && part.measure !== null ? '' : part.note;
    const told = [numbers.quantity(part.measure, part.unit), note].filter(Boolean).join('; ');
    return [
      element('tr', {},
        element('th', { scope: 'row' }, part.label),
        element('td', {}, pointsOf(part))),
      element('tr', { class: 'below' },
        element('td', { colspan: 2 }, partBar(part), element('span', { class: 'note' }, told))),
    ];
  }

  seasonMap.scoreParts = {
    isOpen,
    bar,
    pointsOf,
    partBar,
    table: (site) => element('table', { class: 'parts' }, element('tbody', {}, ...site.parts.flatMap(partRows))),
  };
});
