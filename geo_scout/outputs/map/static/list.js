'use strict';
// The ranked list, and under it the sites worth scouting and the sites left out.
seasonMap.part(() => {
  const { element, numbers, words, state, symbols, scoreParts, place, replace } = seasonMap;
  const PAGE = 200;
  let buttons = new Map(); // site_id -> button

  function facts(site) {
    const parts = [site.site_id, numbers.quantity(site.infested_ha, 'ha')];
    if (site.cover_pct !== null) parts.push(words.coverOf(numbers.quantity(site.cover_pct, 'pct')));
    if (site.group === 'leftOut') return [site.name ? site.site_id : '', ...site.whyOut].filter(Boolean).join(' · ');
    if (site.group === 'worthScouting' && site.unvisited_release) parts.push(words.unvisited);
    if (scoreParts.isOpen(site)) parts.push(words.missing);
    return parts.join(' · ');
  }

  function picture(site) {
    if (site.group === 'ranked') return symbols.flag(site.role, site.rank, site.score_low ?? site.score);
    return site.group === 'worthScouting' ? symbols.scout() : symbols.cross();
  }

  function row(site) {
    const isRanked = site.group === 'ranked';
    const button = element('button', { class: isRanked ? 'site-row' : 'site-row is-out', type: 'button', 'data-site': site.site_id },
      picture(site),
      element('span', {},
        element('span', { class: 'spoken' }, words.rowLabel(site.rank, '')),
        element('span', { class: 'name' }, site.name || site.site_id),
        element('span', { class: 'facts' }, facts(site))),
      isRanked ? element('span', { class: 'score' }, numbers.score(site.score_low ?? site.score), scoreParts.bar(site)) : null);
    button.addEventListener('click', () => state.choose(site.site_id, 'list'));
    for (const event of ['mouseenter', 'focus']) button.addEventListener(event, () => state.point(site.site_id, true));
    for (const event of ['mouseleave', 'blur']) button.addEventListener(event, () => state.point(site.site_id, false));
    buttons.set(site.site_id, button);
    return element('li', {}, button);
  }

  // Long lists open a page at a time; the map shows every site anyway.
  function pagedList(sites) {
    const list = element('ol', { class: 'sites' }, ...sites.slice(0, PAGE).map(row));
    const rest = sites.slice(PAGE);
    if (rest.length === 0) return [list];
    const more = element('button', { class: 'more', type: 'button' }, words.more(rest.length));
    more.addEventListener('click', () => {
      list.append(...rest.map(row));
      more.remove();
      buttons.get(rest[0].site_id).focus();
    });
    return [list, more];
  }

  function fold(title, lead, sites) {
    if (sites.length === 0) return null;
    return element('details', { class: 'fold' },
      element('summary', {}, `${title} `, element('span', { class: 'count' }, `(${sites.length})`)),
      element('p', {}, lead), ...pagedList(sites));
  }

  function redraw() {
    buttons = new Map();
    const sites = state.ranking().sites;
    const of = (group) => sites.filter((site) => site.group === group);
    const ranked = of('ranked');
    // What a visit is worth decides; without it a release nobody has looked at since is the likeliest find.
    const scouting = of('worthScouting').sort((one, other) => one.visit_order - other.visit_order || other.unvisited_release - one.unvisited_release);
    replace(place('sites'),
      ...(ranked.length === 0 ? [element('p', { class: 'empty' }, words.noneRanked)] : pagedList(ranked)),
      fold(words.worthScouting, words.worthScoutingLead(state.ranking().is_valued), scouting),
      fold(words.leftOut, words.leftOutLead, of('leftOut')));
  }

  function mark(siteId, from) {
    for (const button of document.querySelectorAll('.site-row[aria-current]')) button.removeAttribute('aria-current');
    const button = buttons.get(siteId);
    if (!button) return;
    button.setAttribute('aria-current', 'true');
    const closedFold = button.closest('details:not([open])');
    if (closedFold) closedFold.open = true;
    if (from === 'map' && !seasonMap.isNarrow()) button.scrollIntoView({ block: 'center' });
  }

  state.on('ranking', redraw);
  state.on('chosen', mark);
  state.on('hot', (siteId, isHot) => buttons.get(siteId)?.classList.toggle('is-hot', isHot));
});
