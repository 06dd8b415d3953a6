'use strict';
// The coordinates of any point: right click, long press, or the button and a tap.
seasonMap.part(() => {
  const { element, numbers, words, layers, longitudes, geodesy, howFar, mapBars, mapTaps, measureBetween, nearestSites, plainButton, cardFacts, copyButton } = seasonMap;
  const { map } = layers;
  const box = seasonMap.place('card');
  const mark = L.layerGroup().addTo(map);

  const withCopy = (text, label) => element('span', { class: 'copied' }, element('span', {}, text), copyButton(() => text, label));
  const nameOf = (site) => (site.name ? words.siteAndId(site.name, site.site_id) : site.site_id);

  function card(point) {
    const { latitude_deg, longitude_deg } = point;
    const degrees = numbers.degrees(latitude_deg, longitude_deg);
    const grid = geodesy.utm(latitude_deg, longitude_deg);
    const chosen = measureBetween.chosen();
    const nearest = nearestSites.nearestTo(point, 1).map(({ site }) => site).find((site) => site !== chosen);
    const way = (site) => element('span', {}, howFar.leg(site, point), ' ', element('bdi', {}, words.fromSite(nameOf(site))));
    return element('article', { class: 'card point-card' },
      element('p', { class: 'kicker' }, words.pointKicker),
      element('h2', { tabindex: -1 }, words.pointTitle),
      cardFacts([
        [words.degrees, withCopy(degrees, words.degrees)],
        [words.utm, grid === null ? words.utmEnds : withCopy(numbers.utm(grid), words.utm)],
        [words.pointFromChosen, chosen && chosen.latitude_deg !== null ? way(chosen) : null],
        [words.pointFromNearest, nearest ? way(nearest) : null],
        [words.geoLink, element('a', { class: 'geo', href: `geo:${latitude_deg.toFixed(6)},${longitudes.told(longitude_deg).toFixed(6)}` }, words.geoLinkDo)],
      ]));
  }

  function show(point) {
    const shown = card(point);
    seasonMap.cardPlace.showRecord(L.latLng(point.latitude_deg, point.longitude_deg), shown);
    mark.clearLayers();
    mark.addLayer(mapBars.dot(point.latitude_deg, point.longitude_deg, 'is-point'));
  }

  // The mark goes with its card.
  new MutationObserver(() => { if (box.querySelector('.point-card') === null) mark.clearLayers(); }).observe(box, { childList: true });

  map.getContainer().addEventListener('contextmenu', (event) => {
    if (!mapTaps.isOnMap(event)) return;
    event.stopPropagation();
    event.preventDefault();
    show(mapTaps.of(event));
  }, true);

  function stopPicking() {
    if (bar.contains(document.activeElement)) pick.focus();
    pick.setAttribute('aria-pressed', 'false');
    bar.hidden = true;
  }

  const pick = plainButton(words.pointPick, () => {
    if (pick.getAttribute('aria-pressed') === 'true') { mapTaps.release(); return; }
    mapTaps.take({
      tap: (point) => { mapTaps.release(); show(point); },
      end: stopPicking,
    });
    pick.setAttribute('aria-pressed', 'true');
    bar.hidden = false;
    if (seasonMap.isNarrow()) map.getContainer().scrollIntoView({ block: 'nearest' });
  }, { 'aria-pressed': 'false' });
  const bar = mapBars.add(words.pointTitle, true, element('p', {}, words.pointTap),
    element('div', { class: 'bar-buttons' }, plainButton(words.pointStop, () => mapTaps.release())));

  seasonMap.pointHere = {
    show,
    node: element('section', { class: 'field-part', 'aria-labelledby': 'point-title' },
      element('h2', { id: 'point-title' }, words.pointSection),
      element('p', { class: 'soft' }, words.pointHow),
      element('div', { class: 'button-row' }, pick, plainButton(words.pointMiddle, () => show(mapTaps.middle())))),
  };
});
