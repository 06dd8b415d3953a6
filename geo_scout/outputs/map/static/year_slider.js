'use strict';
// Over the years: what had been released, and what was known of it, by the end of a year.
seasonMap.part(() => {
  const { element, words, numbers, data, state, season, replace, layers, plainButton } = seasonMap;
  const FIRST_NAMES = 25;
  const node = element('section', { class: 'year-view', 'aria-labelledby': 'year-title' });
  const said = element('p', { class: 'year-said' });
  const slider = element('input', { type: 'range', id: 'year', step: 1, 'aria-label': words.yearLabel });
  const found = element('div', { class: 'year-found' });
  const names = element('div');
  const fold = element('details', { class: 'year-names' }, element('summary', {}, words.releasesByName), names);

  const last = () => Number(slider.max);
  const isPublic = data.season.audience === 'public';

  // One step for each year-end that is past, and the last for now.
  function fit() {
    const years = seasonMap.recordYears();
    node.hidden = years === null;
    if (years === null) return;
    [slider.min, slider.max] = [years.first, years.last + 1];
    slider.value = season.year ?? last();
  }

  function go(year) {
    const next = Math.max(Number(slider.min), Math.min(last(), year));
    season.setYear(next === last() ? null : next);
  }

  // How many records say the same, in the order of the words.
  function tally(records, name, labels) {
    const count = new Map();
    for (const record of records) count.set(record[name], (count.get(record[name]) || 0) + 1);
    const known = Object.keys(labels).filter((one) => count.has(one));
    return element('ul', { class: 'tally' }, ...known.map((one) => element('li', {}, words.tally(labels[one], count.get(one)))));
  }

  function labelOf(release) {
    const outcome = words.outcomes[release.outcome] || release.outcome;
    const told = words.releaseHere(release.release_id, numbers.longDate(release.date), outcome);
    return release.state ? words.releaseInState(told, words.stateLabels[release.state] || release.state) : told;
  }

  // Made when it is opened, and again for another year.
  function listNames() {
    if (!fold.open) { replace(names); return; }
    replace(names, ...seasonMap.nameList(seasonMap.recordsThen().releases, labelOf, (release) => seasonMap.openRecord('releases', release.row), FIRST_NAMES));
  }

  const mapNote = layers.addButton('', 'year-note');
  mapNote.addEventListener('click', () => { go(last()); layers.map.getContainer().focus({ preventScroll: true }); });

  function refresh() {
    if (node.hidden) { mapNote.hidden = true; return; }
    const isNow = season.year === null;
    slider.value = season.year ?? last();
    said.textContent = isNow ? words.yearNow(numbers.longDate(data.season.as_of)) : words.yearEnd(season.year);
    slider.setAttribute('aria-valuetext', said.textContent);
    mapNote.hidden = isNow;
    mapNote.textContent = isNow ? '' : words.yearOnMap(season.year);
    const { releases, populations } = seasonMap.recordsThen();
    const hasStates = releases.some((release) => release.state);
    replace(found,
      element('h3', {}, words.releasesThen(releases.length)),
      tally(releases, 'outcome', words.outcomes),
      hasStates ? element('h3', {}, words.statesThen) : null,
      hasStates ? tally(releases, 'state', words.stateLabels) : null,
      element('h3', {}, words.populationsThen(populations.length)));
    fold.hidden = releases.length === 0;
    listNames();
  }

  slider.addEventListener('input', () => go(Number(slider.value)));
  fold.addEventListener('toggle', listNames);
  const at = () => season.year ?? last();
  node.append(
    element('h2', { id: 'year-title' }, words.yearTitle),
    said,
    slider,
    element('div', { class: 'button-row' },
      plainButton(words.yearBack, () => go(at() - 1)),
      plainButton(words.yearOn, () => go(at() + 1)),
      plainButton(words.yearToNow, () => go(last()))),
    element('p', { class: 'soft' }, isPublic ? `${words.yearNote} ${words.yearPublic}` : words.yearNote),
    found,
    fold);

  seasonMap.timeTab.append(node);

  state.on('ranking', () => { fit(); refresh(); });
  state.on('year', refresh);
});
