'use strict';
// The sites on paper: one row each, as many as there is room for, the rest counted in words.
seasonMap.part(() => {
  const { element, numbers, words, state, filters } = seasonMap;
  const MOST_ROWS = 45; // no page holds more
  const isThere = (value) => value !== null && value !== undefined && value !== '';

  function score(site) {
    const [low, high] = [numbers.score(site.score_low), numbers.score(site.score_high)];
    return isThere(site.score_high) && high !== low ? words.paperRange(low, high) : low;
  }

  const isOneYear = (sites) => new Set(sites.flatMap((site) => [site.window_opens, site.window_closes]).filter(isThere).map((day) => day.slice(0, 4))).size <= 1;

  function windowOf(site, told) {
    if (!isThere(site.window_opens) || !isThere(site.window_closes)) return words.paperNoWindow[site.window_kind] || words.unknown;
    return words.fromTo(told(site.window_opens), told(site.window_closes));
  }

  // How sure a rank is goes for the plan's weights alone.
  const hasRange = (site) => state.ranking().inHand.isPlan && isThere(site.rank_low);
  const rankOf = (site) => (hasRange(site) ? words.paperRank(site.rank, words.paperRange(site.rank_low, site.rank_high)) : String(site.rank));

  function columnsFor(sites) {
    const isSameYear = isOneYear(sites);
    const year = isSameYear ? (sites.map((site) => site.window_opens).find(isThere) || '').slice(0, 4) : '';
    const windowTitle = words.paperWindow[state.role];
    return [
      { head: words.paperColumns.rank, className: 'rank', cell: rankOf },
      { head: words.paperColumns.site, className: 'site', cell: (site) => site.name || words.unnamed },
      { head: words.paperColumns.id, className: 'id', cell: (site) => site.site_id },
      sites.some((site) => isThere(site.district)) && { head: words.district, className: 'place', cell: (site) => site.district || '' },
      sites.some((site) => isThere(site.permission)) && { head: words.permission, className: 'permission', cell: (site) => site.permission || '' },
      { head: words.score, className: 'figure', cell: score },
      { head: words.degrees, className: 'figure', cell: (site) => (isThere(site.latitude_deg) ? numbers.degrees(site.latitude_deg, site.longitude_deg) : words.unknown) },
      { head: year ? words.paperWindowIn(windowTitle, year) : windowTitle, className: 'window', cell: (site) => windowOf(site, isSameYear ? numbers.dayAndMonth : numbers.longDate) },
    ].filter(Boolean);
  }

  function row(columns, site) {
    const cells = columns.map(({ className, cell }) => element('td', { class: className }, element('span', {}, cell(site))));
    return element('tr', { class: site.site_id === state.siteId ? 'is-chosen' : '', 'data-site': site.site_id }, ...cells);
  }

  // A chosen site that has no row is told in a line of its own.
  function chosenLine(listed) {
    const site = state.siteId === null ? null : state.site(state.siteId);
    if (!site || listed.includes(site)) return '';
    const where = isThere(site.latitude_deg) ? numbers.degrees(site.latitude_deg, site.longitude_deg) : words.unknown;
    const standing = site.group === 'ranked' ? [words.rankOf(site.rank, state.ranking().rankedCount)] : [words[site.group], ...site.whyOut.slice(0, 1)];
    return words.paperChosenLine(site.name || '', site.site_id, where, standing.join('. '));
  }

  // The filters as their fields say them.
  function filterLine() {
    if (!filters.isNarrowed()) return '';
    const told = [...filters.node.querySelectorAll('.field')].map((field) => {
      const input = field.querySelector('select, input');
      const isOpen = input.tagName === 'SELECT' ? input.selectedIndex === 0 : input.value === '';
      return isOpen ? '' : words.paperFilter(field.querySelector('span').textContent, input.tagName === 'SELECT' ? input.selectedOptions[0].textContent : input.value);
    });
    const all = state.ranking().sites;
    return [words.countShown(filters.shownIn('ranked').length, state.ranking().rankedCount, filters.shown().length, all.length), ...told].filter(Boolean).join('. ');
  }

  function weightsLine() {
    const { inHand, raw } = state.ranking();
    if (inHand.isPlan) return state.ranking().sites.some(hasRange) ? `${words.paperPlan} ${words.paperRanges}` : words.paperPlan;
    const percent = (share) => words.percentOf((100 * share).toFixed(0));
    const whole = raw.criteria.reduce((sum, { weight }) => sum + weight, 0);
    const changes = raw.criteria.map(({ label, weight }, number) => ({ label, now: inHand.weights[number], plan: weight / whole }))
      .filter(({ now, plan }) => Math.abs(now - plan) >= 0.005)
      .sort((one, other) => Math.abs(other.now - other.plan) - Math.abs(one.now - one.plan));
    return [words.paperByHand, ...changes.slice(0, 3).map(({ label, now, plan }) => words.paperWeight(label, percent(now), percent(plan)))].join(' ');
  }

  // 3, 4, 5, 9 as 3–5, 9
  function inRuns(ranks) {
    const runs = [];
    for (const rank of ranks.sort((one, other) => one - other)) {
      const last = runs[runs.length - 1];
      if (last && rank === last[1] + 1) last[1] = rank; else runs.push([rank, rank]);
    }
    return runs.map(([first, last]) => (first === last ? String(first) : words.paperRange(first, last))).join(', ');
  }

  // The list is made long; `drop` takes its last row off, and what is said below follows.
  seasonMap.paperList = () => {
    const ranked = filters.shownIn('ranked');
    const listed = ranked.slice(0, MOST_ROWS);
    const columns = columnsFor(listed);
    const body = element('tbody', {}, ...listed.map((site) => row(columns, site)));
    const [rest, outside, chosen] = ['rest', 'outside', 'chosen'].map((name) => element('p', { class: `paper-${name}` }));
    const tellRest = () => {
      rest.textContent = ranked.length > listed.length ? words.paperRest(ranked.length - listed.length, words.paperFiles[state.role]) : '';
      chosen.textContent = chosenLine(listed);
    };
    tellRest();
    return {
      node: element('div', { class: 'paper-list' },
        element('p', { class: state.ranking().inHand.isPlan ? 'paper-weights' : 'paper-weights is-by-hand' }, weightsLine()),
        element('p', { class: 'paper-filters' }, filterLine()),
        listed.length === 0 ? element('p', {}, filters.isNarrowed() ? words.noneShown : words.noneRanked)
          : element('table', {}, element('thead', {}, element('tr', {}, ...columns.map(({ head, className }) => element('th', { class: className, scope: 'col' }, head)))), body),
        element('div', { class: 'paper-below' }, rest, outside, chosen)),
      listed,
      drop() {
        listed.pop();
        body.lastChild.remove();
        tellRest();
      },
      // Those of the list that the map does not show.
      tellOutside(numbered) {
        const beyond = listed.filter((site) => !numbered.includes(site)).map((site) => site.rank);
        outside.textContent = beyond.length > 0 ? words.paperOutside(beyond.length, inRuns(beyond)) : '';
      },
    };
  };
});
