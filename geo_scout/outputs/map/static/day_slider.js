'use strict';
// A day of the season: which sources can be collected then, and which release sites can receive.
seasonMap.part(() => {
  const { element, words, numbers, data, state, season, windowBar, replace, plainButton } = seasonMap;
  const FIRST_NAMES = 8;
  const ROLES = ['source', 'release'];
  const WEEK_DAYS = 7;
  const node = element('section', { class: 'day-view', 'aria-labelledby': 'day-title' });
  const said = element('p', { class: 'day-said' });
  const slider = element('input', { type: 'range', id: 'day', step: 1, 'aria-label': words.dayLabel });
  const only = element('input', { type: 'checkbox', id: 'only-open' });
  const found = element('div', { class: 'day-found' });

  const number = () => (season.day === null ? Number(slider.value) : windowBar.dayOf(season.day));
  const choose = (day, isOnly = only.checked) => season.set(windowBar.textOf(day), isOnly);

  function go(days) {
    choose(Math.max(Number(slider.min), Math.min(Number(slider.max), number() + days)));
  }

  function fit() {
    const whole = windowBar.span();
    node.hidden = whole === null;
    if (whole === null) return;
    [slider.min, slider.max] = [whole.from, whole.to - 1];
    slider.value = season.day === null ? beginning(whole) : number();
  }

  // Until a day is chosen the slider stands where the first source opens, or in the middle.
  function beginning(whole) {
    const opening = sitesOf('source').dated.map((site) => site.window_opens);
    if (opening.length === 0) return Math.round((whole.from + whole.to) / 2);
    return windowBar.dayOf(opening.reduce((first, day) => (day < first ? day : first)));
  }

  // The ranked sites of the agent; they stay the same while the day moves.
  let known = new Map();
  function sitesOf(role) {
    if (!known.has(role)) {
      const ranked = data.ranking(state.agentIndex, role).sites.filter((site) => site.group === 'ranked');
      ranked.sort((one, other) => one.rank - other.rank);
      const dated = ranked.filter(windowBar.isDated);
      const undated = ranked.filter((site) => !windowBar.isDated(site));
      const seen = undated.filter((site) => site.window_kind === 'host stage').length;
      known.set(role, { dated, seen, unknown: undated.length - seen });
    }
    return known.get(role);
  }

  function show(site) {
    if (state.role !== site.role) {
      state.show(state.agentIndex, site.role);
      // The list was made anew: its button takes the focus, so that a closed card gives it back.
      const again = [...found.querySelectorAll('[data-site]')].find((one) => one.dataset.site === site.site_id && one.dataset.role === site.role);
      (again || slider).focus({ preventScroll: true });
    }
    state.choose(site.site_id, 'list');
  }

  function names(open) {
    const labelOf = (site) => words.rankedName(site.rank, data.ranking(state.agentIndex, site.role).nameOf(site));
    const list = seasonMap.nameList(open, labelOf, show, FIRST_NAMES, (site) => ({ 'data-site': site.site_id, 'data-role': site.role }));
    return open.length === 0 ? [] : list;
  }

  function group(role, open) {
    const { dated, seen, unknown } = sitesOf(role);
    const note = (text) => element('p', { class: 'soft' }, text);
    return [
      dated.length === 0 ? null : element('h3', {}, words.openThen[role](open.length, dated.length)),
      ...names(open),
      seen === 0 ? null : note(words.seenSites[role](seen)),
      unknown === 0 ? null : note(words.undatedSites[role](unknown)),
    ].filter(Boolean);
  }

  // What is open on one side only. A side of which some go by what is to be seen may be ready any day.
  function caution(open) {
    const [ready, ...more] = ROLES.filter((role) => open[role].length > 0);
    if (ready === undefined || more.length > 0) return null;
    const { dated, seen, unknown } = sitesOf(ready === 'source' ? 'release' : 'source');
    if (dated.length === 0 || seen + unknown > 0) return null;
    return element('p', { class: 'day-caution' }, ready === 'source' ? words.nowhereToRelease : words.nothingToCollect);
  }

  function outside(day) {
    const { start, end } = data.season;
    if (!start || !end || (day >= start && day <= end)) return null;
    return element('p', { class: 'day-caution' }, words.dayOutside(numbers.longDate(start), numbers.longDate(end)));
  }

  function tellDay() {
    const { day } = season;
    if (day === null) return [element('p', { class: 'soft' }, words.dayHow)];
    const open = Object.fromEntries(ROLES.map((role) => [role, sitesOf(role).dated.filter((site) => season.isOpen(site, day))]));
    return [outside(day), caution(open), ...ROLES.flatMap((role) => group(role, open[role]))].filter(Boolean);
  }

  function refresh() {
    if (node.hidden) return;
    if (season.day !== null) slider.value = number();
    said.textContent = season.day === null ? words.dayNoneChosen : numbers.longDate(season.day);
    slider.setAttribute('aria-valuetext', season.day === null ? numbers.longDate(windowBar.textOf(number())) : said.textContent);
    only.checked = season.onlyOpen;
    replace(found, ...tellDay());
  }

  slider.addEventListener('input', () => choose(Number(slider.value)));
  only.addEventListener('change', () => choose(number()));
  node.append(
    element('h2', { id: 'day-title' }, words.dayTitle),
    element('div', { class: 'day-line' }, said, plainButton(words.dayNone, () => season.set(null, false))),
    slider,
    element('div', { class: 'day-steps' },
      plainButton(words.weekBack, () => go(-WEEK_DAYS)),
      plainButton(words.dayBack, () => go(-1)),
      plainButton(words.dayOn, () => go(1)),
      plainButton(words.weekOn, () => go(WEEK_DAYS))),
    element('label', { class: 'check' }, only, element('span', {}, words.onlyOpen)),
    found,
    element('details', { class: 'window-help' }, element('summary', {}, words.windowKeyTitle), windowBar.key()),
    element('p', { class: 'soft' }, words.windowEstimate));

  seasonMap.timeTab = element('div', { class: 'time' }, node);
  seasonMap.tabs.add('time', words.tabs.time, seasonMap.timeTab);
  state.on('ranking', () => { known = new Map(); fit(); refresh(); });
  state.on('order', () => { known = new Map(); refresh(); });
  state.on('season', refresh);
});
