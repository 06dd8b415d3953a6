'use strict';
// A day of the season: which sources can be collected then, and which release sites can receive.
seasonMap.part(() => {
  const { element, words, numbers, data, state, season, windowBar, replace } = seasonMap;
  const NAMED = 8;
  const node = element('section', { class: 'day-view', 'aria-labelledby': 'day-title' });
  const said = element('output', { for: 'day', class: 'day-said' });
  const slider = element('input', { type: 'range', id: 'day', step: 1, 'aria-label': words.dayLabel });
  const only = element('input', { type: 'checkbox', id: 'only-open' });
  const found = element('div', { class: 'day-found' });

  const day = () => windowBar.textOf(Number(slider.value));

  function fit() {
    const whole = windowBar.span();
    node.hidden = whole === null;
    if (whole === null) return;
    [slider.min, slider.max] = [whole.from, whole.to - 1];
    if (season.day === null) slider.value = middle(whole);
  }

  // Begins on the first day on which the best source is open, or in the middle.
  function middle(whole) {
    const first = data.ranking(state.agentIndex, 'source').sites.find((site) => site.group === 'ranked' && windowBar.isDated(site));
    return first ? windowBar.dayOf(first.window_opens) : Math.round((whole.from + whole.to) / 2);
  }

  const change = () => season.set(day(), only.checked);

  function stepButton(label, days) {
    const button = element('button', { type: 'button', class: 'plain-button' }, label);
    button.addEventListener('click', () => { slider.value = Number(slider.value) + days; change(); });
    return button;
  }

  function siteButton(site) {
    const button = element('button', { type: 'button', class: 'name-button' }, words.rankedName(site.rank, site.name || site.site_id));
    button.addEventListener('click', () => {
      if (state.role !== site.role) state.show(state.agentIndex, site.role);
      state.choose(site.site_id, 'list');
    });
    return element('li', {}, button);
  }

  function openSites(role) {
    const ranked = data.ranking(state.agentIndex, role).sites.filter((site) => site.group === 'ranked');
    const dated = ranked.filter(windowBar.isDated);
    return { ranked, dated, open: dated.filter((site) => season.isOpen(site, day())).sort((one, other) => one.rank - other.rank) };
  }

  function group(role, { ranked, dated, open }) {
    const rest = open.length - NAMED;
    return [
      element('h3', {}, words.openThen[role](open.length, dated.length)),
      dated.length < ranked.length ? element('p', { class: 'soft' }, words.undatedSites(ranked.length - dated.length)) : null,
      open.length === 0 ? null : element('ul', { class: 'names' }, ...open.slice(0, NAMED).map(siteButton), rest > 0 ? element('li', {}, words.andMore(rest)) : null),
    ].filter(Boolean);
  }

  function refresh() {
    const [sources, releases] = [openSites('source'), openSites('release')];
    said.textContent = numbers.longDate(day());
    slider.setAttribute('aria-valuetext', numbers.longDate(day()));
    only.checked = season.onlyOpen;
    const nowhere = sources.open.length > 0 && releases.dated.length > 0 && releases.open.length === 0;
    replace(found, ...group('source', sources), ...group('release', releases), nowhere ? element('p', { class: 'day-caution' }, words.nowhereToRelease) : null);
  }

  slider.addEventListener('input', change);
  only.addEventListener('change', change);
  node.append(
    element('h2', { id: 'day-title' }, words.dayTitle),
    element('p', { class: 'day-line' }, said),
    slider,
    element('div', { class: 'button-row' }, stepButton(words.weekBack, -7), stepButton(words.dayBack, -1), stepButton(words.dayOn, 1), stepButton(words.weekOn, 7)),
    element('label', { class: 'check' }, only, element('span', {}, words.onlyOpen)),
    element('p', { class: 'soft' }, words.windowEstimate),
    found);

  seasonMap.timeTab = element('div', { class: 'time' }, node);
  seasonMap.tabs.add('time', words.tabs.time, seasonMap.timeTab);
  state.on('ranking', () => { fit(); refresh(); });
  state.on('order', refresh);
  state.on('season', () => { if (season.day) slider.value = windowBar.dayOf(season.day); refresh(); });
});
