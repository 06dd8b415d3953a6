'use strict';
// The shown sites nearest to the own position, with the way to each.
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

  function nearestTo(here, count = LISTED) {
    const rough = filters.shown().filter((site) => site.latitude_deg !== null).map((site) => [roughly(site, here), site]);
    rough.sort(([one], [other]) => one - other);
    const measured = rough.slice(0, LOOKED_AT).map(([, site]) => ({ site, ...geodesy.inverse(here, site) }));
    return measured.sort((one, other) => one.distance_m - other.distance_m).slice(0, count);
  }

  const isIn = (site, here) => geodesy.isInside(data.outline(state.agentIndex, site.site_id), here);

  const wayTo = (site, here) => (isIn(site, here) ? words.insidePatch : howFar.leg(here, site));

  const button = (site) => plainButton(
    element('span', {}, element('bdi', { class: 'name' }, site.name || site.site_id), element('span', { class: 'way' })),
    () => state.choose(site.site_id, 'list'), { class: 'plain-button nearest', 'data-nearest': site.site_id });

  const list = element('ol', { class: 'nearest-list' });
  const status = element('p', { class: 'soft' });
  const toggle = plainButton('', position.toggle);

  // Positions come every second: while the same sites are nearest their buttons stay, or a tap would miss them.
  function fill(box, sites, here, wrap) {
    const standing = [...box.querySelectorAll('[data-nearest]')];
    const isSame = standing.length === sites.length && sites.every((site, index) => standing[index].dataset.nearest === site.site_id);
    if (!isSame) replace(box, ...wrap(sites.map(button)));
    box.querySelectorAll('.way').forEach((way, index) => { way.textContent = wayTo(sites[index], here); });
  }

  function refresh() {
    const here = position.now();
    toggle.textContent = position.isWatched() ? words.positionStop : words.whereAmI;
    status.textContent = position.told() || words.nearestHow;
    const found = here === null ? [] : nearestTo(here).map(({ site }) => site);
    fill(list, found, here, (buttons) => buttons.map((one) => element('li', {}, one)));
    fill(position.nearestLine, found.slice(0, 1), here, (buttons) => (buttons.length === 0 ? [] : [element('span', {}, words.nearestSite), ...buttons]));
    list.hidden = found.length === 0;
    if (here !== null && found.length === 0) status.textContent = `${position.told()} ${words.nearestNone}`;
  }

  position.on(refresh);
  state.on('ranking', refresh);
  state.on('shown', refresh);

  seasonMap.nearestSites = {
    nearestTo,
    node: element('section', { class: 'field-part', 'aria-labelledby': 'nearest-title' },
      element('h2', { id: 'nearest-title' }, words.nearestTitle), toggle, status, list),
  };
});
