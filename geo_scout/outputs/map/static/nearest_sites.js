'use strict';
// The shown sites nearest to the own position, with the way to each: ranked ones, then left-out ones that lie nearer.
seasonMap.part(() => {
  const { element, words, data, state, filters, geodesy, howFar, position, plainButton, replace } = seasonMap;
  const LISTED = 5;
  const LOOKED_AT = 30; // the roughly nearest, which are then measured

  // Good enough to tell which sites come into question; measuring ten thousand would take long.
  function roughly(site, here) {
    const east = Math.abs(site.longitude_deg - here.longitude_deg);
    const narrowed = Math.min(east, 360 - east) * Math.cos((here.latitude_deg * Math.PI) / 180);
    return narrowed ** 2 + (site.latitude_deg - here.latitude_deg) ** 2;
  }

  const placed = () => filters.shown().filter((site) => site.latitude_deg !== null);
  const isRanked = (site) => site.group === 'ranked';

  function measured(sites, here, count) {
    const rough = sites.map((site) => [roughly(site, here), site]);
    rough.sort(([one], [other]) => one - other);
    const found = rough.slice(0, LOOKED_AT).map(([, site]) => ({ site, ...geodesy.inverse(here, site) }));
    return found.sort((one, other) => one.distance_m - other.distance_m).slice(0, count);
  }

  // The nearest ranked sites: a crew is not sent to ground that is left out.
  const nearestTo = (here, count) => measured(placed().filter(isRanked), here, count);

  // Left-out sites are told where they lie nearer than the ranked ones, or where none is ranked.
  function leftOutNear(here, ranked) {
    const farthest_m = ranked.length === 0 ? Infinity : ranked[ranked.length - 1].distance_m;
    return measured(placed().filter((site) => !isRanked(site)), here, LISTED).filter(({ distance_m }) => distance_m < farthest_m);
  }

  const isIn = (site, here) => geodesy.isInside(data.outline(state.agentIndex, site.site_id), here);

  function wayTo(site, here) {
    const way = isIn(site, here) ? words.insidePatch : words.toMiddle(howFar.leg(here, site));
    return site.name ? ` · ${way}` : way;
  }

  const button = (site) => plainButton(
    element('span', {}, element('bdi', { class: 'name' }),
      element('span', { class: 'about' }, element('bdi', { class: 'id' }, site.name ? site.site_id : ''), element('span', { class: 'way' }))),
    () => state.choose(site.site_id, 'list'), { class: 'plain-button nearest', 'data-nearest': site.site_id });

  const title = () => element('h3', { hidden: true });
  const [rankedTitle, outTitle] = [title(), title()];
  const [rankedList, outList] = [words.ranked, words.leftOut].map((label) => element('ol', { class: 'nearest-list', 'aria-label': label }));
  const status = element('p', { class: 'soft' });
  const toggle = plainButton('', position.toggle);

  // Positions come every second: while the same sites are nearest their buttons stay, or a tap would miss them.
  function fill(box, sites, here, wrap) {
    const standing = [...box.querySelectorAll('[data-nearest]')];
    const isSame = sites.length > 0 && standing.length === sites.length && sites.every((site, index) => standing[index].dataset.nearest === site.site_id);
    if (!isSame) replace(box, ...wrap(sites.map(button)));
    box.querySelectorAll('.name').forEach((name, index) => { name.textContent = words.rowLabel(sites[index].rank, sites[index].name || sites[index].site_id); });
    box.querySelectorAll('.way').forEach((way, index) => { way.textContent = wayTo(sites[index], here); });
  }

  function fillList(list, heading, text, sites, here) {
    heading.textContent = text;
    fill(list, sites, here, (buttons) => buttons.map((one) => element('li', {}, one)));
    for (const node of [list, heading]) node.hidden = sites.length === 0;
  }

  function none(ranked, out) {
    if (ranked.length > 0) return '';
    return out.length > 0 ? words.nearestNoneRanked : words.nearestNone;
  }

  function refresh() {
    const here = position.now();
    toggle.textContent = position.isWatched() ? words.positionStop : words.whereAmI;
    const near = here === null ? [] : nearestTo(here, LISTED);
    const ranked = near.map(({ site }) => site);
    const out = here === null ? [] : leftOutNear(here, near).map(({ site }) => site);
    fillList(rankedList, rankedTitle, words.ranked, ranked, here);
    fillList(outList, outTitle, words.nearestOut(ranked.length > 0), out, here);
    fill(position.nearestLine, ranked.slice(0, 1), here, (buttons) => (buttons.length === 0 ? [] : [element('span', {}, words.nearestSite), ...buttons]));
    if (here !== null && ranked.length === 0) position.nearestLine.textContent = none(ranked, out);
    status.textContent = here === null ? position.told() || words.nearestHow : [position.told(), none(ranked, out)].filter(Boolean).join(' ');
  }

  position.on(refresh);
  state.on('ranking', refresh);
  state.on('shown', refresh);
  state.on('order', refresh); // other weights give other ranks

  seasonMap.nearestSites = {
    nearestTo,
    node: element('section', { class: 'field-part', 'aria-labelledby': 'nearest-title' },
      element('h2', { id: 'nearest-title' }, words.nearestTitle), toggle, status, rankedTitle, rankedList, outTitle, outList),
  };
});
