'use strict';
// Which sites are shown, and in which order the list has them.
seasonMap.part(() => {
  const { element, words, state, place } = seasonMap;
  const GROUPS = ['ranked', 'worthScouting', 'leftOut'];
  const ANY = '';
  const chosen = { text: '', use: ANY, district: ANY, manager: ANY, sort: 'rank' };
  let found = null; // by group, until something changes

  const isThere = (value) => value !== null && value !== undefined && value !== '';
  const byText = (one, other) => String(one).localeCompare(String(other));

  function matches(site) {
    if (chosen.text === '') return true;
    return [site.name, site.site_id, site.district, site.manager].some((text) => isThere(text) && text.toLowerCase().includes(chosen.text));
  }

  function passes(site) {
    if (chosen.use === 'usable' && site.group !== 'ranked') return false;
    if (chosen.use === 'leftOut' && site.group === 'ranked') return false;
    if (chosen.district !== ANY && site.district !== chosen.district) return false;
    if (chosen.manager !== ANY && site.manager !== chosen.manager) return false;
    if (seasonMap.season && !seasonMap.season.passes(site)) return false;
    return matches(site);
  }

  // Missing ones last, whichever way a column runs.
  const upwards = (name) => (one, other) => {
    const [first, second] = [one[name], other[name]];
    if (!isThere(first) || !isThere(second)) return Number(!isThere(first)) - Number(!isThere(second));
    return typeof first === 'number' ? first - second : byText(first, second);
  };
  const downwards = (name) => (one, other) => {
    const [first, second] = [one[name], other[name]];
    if (!isThere(first) || !isThere(second)) return Number(!isThere(first)) - Number(!isThere(second));
    return second - first;
  };
  const moved = (site) => Math.abs((site.rank ?? 0) - (site.plan_rank ?? 0));
  const SORTS = {
    name: (one, other) => byText(one.name || one.site_id, other.name || other.site_id),
    area: downwards('infested_ha'),
    opens: upwards('window_opens'),
    district: upwards('district'),
    moved: (one, other) => moved(other) - moved(one),
  };

  // What a visit is worth decides; without it a release nobody has looked at since is the likeliest find.
  const byVisit = (one, other) => one.visit_order - other.visit_order || other.unvisited_release - one.unvisited_release;

  function inOrder(sites, group) {
    if (chosen.sort !== 'rank') return sites.sort(SORTS[chosen.sort]);
    if (group === 'ranked') return sites.sort((one, other) => one.rank - other.rank);
    return group === 'worthScouting' ? sites.sort(byVisit) : sites;
  }

  function shownIn(group) {
    if (found === null) {
      seasonMap.weights.apply(state.ranking());
      found = Object.fromEntries(GROUPS.map((name) => [name, []]));
      for (const site of state.ranking().sites) if (passes(site)) found[site.group].push(site);
      for (const name of GROUPS) found[name] = inOrder(found[name], name);
    }
    return found[group];
  }

  const shown = () => GROUPS.flatMap(shownIn);
  const isNarrowed = () => chosen.text !== '' || chosen.use !== ANY || chosen.district !== ANY || chosen.manager !== ANY || Boolean(seasonMap.season && seasonMap.season.onlyOpen);

  function change(news) {
    Object.assign(chosen, news);
    found = null;
    state.tell('shown');
  }

  function select(name, label, options) {
    const node = element('select', { id: `filter-${name}` }, ...options.map(([value, text]) => element('option', { value }, text)));
    node.value = chosen[name];
    node.addEventListener('change', () => change({ [name]: node.value }));
    return element('label', { class: 'field' }, element('span', {}, label), node);
  }

  function choicesOf(name) {
    const every = new Set(state.ranking().sites.map((site) => site[name]).filter(isThere));
    return [...every].sort(byText).map((text) => [text, text]);
  }

  function dayField() {
    if (!seasonMap.season) return null;
    const input = element('input', { type: 'date', id: 'filter-day' });
    input.value = (seasonMap.season.onlyOpen && seasonMap.season.day) || '';
    input.addEventListener('change', () => seasonMap.season.set(input.value || seasonMap.season.day, input.value !== ''));
    return element('label', { class: 'field' }, element('span', {}, words.filterDay), input);
  }

  function fields() {
    const [districts, managers] = [choicesOf('district'), choicesOf('manager')];
    const of = (name, label, choices) => (choices.length > 1 ? select(name, label, [[ANY, words.filterAny], ...choices]) : null);
    return [
      select('use', words.filterUse, [[ANY, words.filterUses.any], ['usable', words.filterUses.usable], ['leftOut', words.filterUses.leftOut]]),
      of('district', words.filterDistrict, districts),
      of('manager', words.filterManager, managers),
      dayField(),
      select('sort', words.sort, Object.entries(words.sorts)),
    ].filter(Boolean);
  }

  const search = element('input', { type: 'search', id: 'search', autocomplete: 'off', spellcheck: 'false' });
  const grid = element('div', { class: 'fields' });
  const clear = element('button', { type: 'button', class: 'plain-button' }, words.filterClear);
  const fold = element('details', { class: 'filters', id: 'filters' }, element('summary', {}, words.filters), grid, clear);
  const count = element('p', { class: 'count-line', id: 'count' });

  search.addEventListener('input', () => change({ text: search.value.trim().toLowerCase() }));
  clear.addEventListener('click', () => {
    search.value = '';
    if (seasonMap.season && seasonMap.season.onlyOpen) seasonMap.season.set(seasonMap.season.day, false);
    change({ text: '', use: ANY, district: ANY, manager: ANY });
    redrawFields();
    clear.focus();
  });

  function redrawFields() {
    const active = document.activeElement ? document.activeElement.id : '';
    seasonMap.replace(grid, ...fields());
    if (active && active.startsWith('filter-') && place(active)) place(active).focus();
  }

  function redrawCount() {
    const ranked = state.ranking().sites.filter((site) => site.group === 'ranked').length;
    count.textContent = isNarrowed() ? words.countShown(shownIn('ranked').length, ranked, shown().length, state.ranking().sites.length) : '';
    count.hidden = !isNarrowed();
  }

  state.on('ranking', () => {
    chosen.district = ANY;
    chosen.manager = ANY;
    found = null;
    redrawFields();
    redrawCount();
  });
  state.on('order', () => { found = null; });
  state.on('season', () => { found = null; redrawFields(); state.tell('shown'); });
  state.on('shown', redrawCount);

  seasonMap.filters = {
    passes, shown, shownIn, isNarrowed,
    node: element('div', { class: 'finder' },
      element('label', { class: 'field search' }, element('span', {}, words.search), search), fold, count),
  };
});
