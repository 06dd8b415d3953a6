'use strict';
// The ranked list, and under it the sites worth scouting and the sites left out.
seasonMap.part(() => {
  const { element, numbers, words, state, symbols, scoreParts, filters, replace } = seasonMap;
  const FIRST_PAGE = 50;
  const PAGE = 200;
  const [leadBox, rowsBox] = [element('div'), element('div')];
  // The fields that narrow the list stay where they are, and keep the focus, while what is around them changes.
  const node = element('div', { id: 'sites', 'aria-label': words.listLabel, role: 'region' }, leadBox, filters.node, rowsBox);
  let buttons = new Map(); // site_id -> button
  const open = { worthScouting: false, leftOut: false };

  function facts(site) {
    if (site.group === 'leftOut') return [site.name ? site.site_id : '', ...site.whyOut].filter(Boolean).join(' · ');
    const parts = [site.name ? site.site_id : '', numbers.quantity(site.infested_ha, 'ha')].filter(Boolean);
    if (site.cover_pct !== null) parts.push(words.coverOf(numbers.quantity(site.cover_pct, 'pct')));
    if (site.group === 'worthScouting' && site.unvisited_release) parts.push(words.unvisited);
    if (scoreParts.isOpen(site)) parts.push(words.missing);
    return parts.join(' · ');
  }

  function picture(site) {
    if (site.group === 'ranked') return symbols.flag(site.role, site.rank, site.score_low);
    return site.group === 'worthScouting' ? symbols.scout() : symbols.cross();
  }

  // How far a site moved since the plan's weights; arrows say with their shape what the words say.
  function move(site) {
    if (site.group !== 'ranked' || site.rank === site.plan_rank) return null;
    const places = site.plan_rank - site.rank;
    return element('span', { class: 'move' },
      element('span', { 'aria-hidden': 'true' }, `${places > 0 ? '▲' : '▼'}\u00a0${Math.abs(places)}`),
      element('span', { class: 'spoken' }, words.moved(places)));
  }

  function row(site) {
    const isRanked = site.group === 'ranked';
    const bar = seasonMap.windowBar && site.group !== 'leftOut' ? seasonMap.windowBar(site) : null;
    const button = element('button', { class: isRanked ? 'site-row' : 'site-row is-out', type: 'button', 'data-site': site.site_id },
      picture(site),
      element('span', {},
        element('span', { class: 'spoken' }, words.rowLabel(site.rank, '')),
        element('span', { class: 'name' }, site.name || site.site_id),
        element('span', { class: 'facts' }, facts(site))),
      isRanked ? element('span', { class: 'score' }, move(site), numbers.score(site.score_low), scoreParts.bar(site)) : null,
      bar ? element('span', { class: 'row-window' }, bar) : null);
    if (site.site_id === state.siteId) button.setAttribute('aria-current', 'true');
    buttons.set(site.site_id, button);
    return element('li', {}, button);
  }

  // One set of listeners serves every row.
  const siteOf = (event) => event.target.closest('.site-row')?.dataset.site;
  node.addEventListener('click', (event) => { if (siteOf(event)) state.choose(siteOf(event), 'list'); });
  for (const [name, isHot] of [['mouseover', true], ['mouseout', false], ['focusin', true], ['focusout', false]]) {
    node.addEventListener(name, (event) => { if (siteOf(event)) state.point(siteOf(event), isHot); });
  }
  node.addEventListener('keydown', (event) => {
    const step = { ArrowDown: 1, ArrowUp: -1 }[event.key];
    if (!step || !siteOf(event)) return;
    event.preventDefault();
    const every = [...node.querySelectorAll('.site-row')].filter((one) => one.getClientRects().length > 0);
    every[every.indexOf(event.target.closest('.site-row')) + step]?.focus();
  });

  // Long lists open a page at a time; the map shows every site anyway.
  function pagedList(sites, label) {
    const list = element('ol', { class: 'sites', 'aria-label': label }, ...sites.slice(0, FIRST_PAGE).map(row));
    let shown = Math.min(FIRST_PAGE, sites.length);
    if (shown === sites.length) return [list];
    const more = element('button', { class: 'more', type: 'button' });
    const tellRest = () => { more.textContent = words.more(Math.min(PAGE, sites.length - shown), sites.length - shown); };
    tellRest();
    more.addEventListener('click', () => {
      const next = sites.slice(shown, shown + PAGE);
      list.append(...next.map(row));
      shown += next.length;
      if (shown === sites.length) more.remove(); else tellRest();
      buttons.get(next[0].site_id).focus();
    });
    return [list, more];
  }

  // What is folded away is made when it is opened.
  function fold(group, title, lead, sites) {
    if (sites.length === 0) return null;
    const details = element('details', { class: 'fold', 'data-group': group },
      element('summary', {}, `${title} `, element('span', { class: 'count' }, `(${sites.length})`)),
      element('p', {}, lead));
    let isMade = false;
    const make = () => {
      if (isMade) return;
      isMade = true;
      details.append(...pagedList(sites, title));
    };
    details.make = make;
    details.addEventListener('toggle', () => { open[group] = details.open; if (details.open) make(); });
    if (open[group]) { details.open = true; make(); }
    return details;
  }

  function redraw() {
    const active = document.activeElement;
    const focused = active && node.contains(active) ? active.dataset.site || null : null;
    const isLead = active && active.classList.contains('lead-name');
    buttons = new Map();
    const ranked = filters.shownIn('ranked');
    const axis = seasonMap.windowBar && ranked.length > 0 ? seasonMap.windowBar.axis() : null;
    replace(leadBox, seasonMap.lead());
    replace(rowsBox,
      ranked.length === 0 ? null : axis && element('div', { class: 'row-axis', 'aria-hidden': 'true' }, axis),
      ...(ranked.length === 0 ? [element('p', { class: 'empty' }, filters.isNarrowed() ? words.noneShown : words.noneRanked)] : pagedList(ranked, words.ranked)),
      fold('worthScouting', words.worthScouting, words.worthScoutingLead(state.ranking().is_valued), filters.shownIn('worthScouting')),
      fold('leftOut', words.leftOut, words.leftOutLead, filters.shownIn('leftOut')));
    if (focused !== null && buttons.has(focused)) buttons.get(focused).focus({ preventScroll: true });
    else if (isLead) node.querySelector('.lead-name')?.focus({ preventScroll: true });
  }

  // A site on a later page, or in a fold that was never opened, has no row yet.
  function reveal(siteId) {
    for (const details of node.querySelectorAll('details.fold')) {
      if (buttons.has(siteId)) break;
      if (filters.shownIn(details.dataset.group).some((site) => site.site_id === siteId)) details.make();
    }
    return buttons.get(siteId);
  }

  function mark(siteId, from) {
    for (const button of node.querySelectorAll('.site-row[aria-current]')) button.removeAttribute('aria-current');
    const button = siteId === null ? null : reveal(siteId);
    if (!button) return;
    button.setAttribute('aria-current', 'true');
    const closedFold = button.closest('details:not([open])');
    if (closedFold) closedFold.open = true;
    if (from === 'map' && !seasonMap.isNarrow()) button.scrollIntoView({ block: 'center' });
  }

  seasonMap.tabs.add('sites', words.tabs.sites, node);
  state.on('ranking', redraw);
  state.on('order', redraw);
  state.on('shown', redraw);
  state.on('chosen', mark);
  state.on('hot', (siteId, isHot) => buttons.get(siteId)?.classList.toggle('is-hot', isHot));
});
