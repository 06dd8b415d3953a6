'use strict';
// Patches and site symbols of the ranking that is shown.
seasonMap.part(() => {
  const { data, state, symbols, layers } = seasonMap;
  const { map, groups } = layers;
  const NUMBERS_FROM_ZOOM = 12; // from here on there is room for every rank
  let drawn = new Map(); // site_id -> {site, patch, mark}

  const STYLES = {
    ranked: (site) => ({ fillColor: symbols.fill(site.score_low ?? site.score), fillOpacity: 0.85, color: symbols.INK, weight: 1.4 }),
    worthScouting: () => ({ fillColor: 'url(#dots)', fillOpacity: 0.75, color: symbols.INK, weight: 1.4, dashArray: '4 3' }),
    leftOut: () => ({ fillColor: 'url(#hatch)', fillOpacity: 0.75, color: '#56636b', weight: 1.2 }),
  };

  function icon(site) {
    if (site.group === 'worthScouting') return symbols.icon(symbols.scout(), 'site-mark');
    if (site.group === 'leftOut') return symbols.icon(symbols.cross(), 'site-mark');
    const hasNumber = site.rank <= data.season.top_n || map.getZoom() >= NUMBERS_FROM_ZOOM;
    const score = site.score_low ?? site.score;
    return hasNumber
      ? symbols.icon(symbols.flag(site.role, site.rank, score), 'site-mark', [17, 34])
      : symbols.icon(symbols.dot(site.role, score), 'site-mark');
  }

  function pane(site) {
    if (site.group !== 'ranked') return 'outMarks';
    return site.rank <= data.season.top_n ? 'markerPane' : 'marks';
  }

  function listen(layer, site) {
    layer.on('click', () => state.choose(site.site_id, 'map'));
    layer.on('mouseover', () => state.point(site.site_id, true));
    layer.on('mouseout', () => state.point(site.site_id, false));
  }

  function drawSite(site) {
    const outline = data.outline(state.agentIndex, site.site_id);
    const patch = outline.length === 0 ? null : L.polygon(outline, {
      pane: 'patches', className: 'site-patch', smoothFactor: 0.5, bubblingMouseEvents: false, ...STYLES[site.group](site),
    });
    const mark = site.latitude_deg === null ? null : L.marker([site.latitude_deg, site.longitude_deg], {
      icon: icon(site), pane: pane(site), keyboard: false, zIndexOffset: site.rank === null ? -2000 : 2000 - 20 * site.rank, riseOnHover: true,
    });
    for (const layer of [patch, mark].filter(Boolean)) {
      listen(layer, site);
      layer.addTo(groups[site.group]);
    }
    drawn.set(site.site_id, { site, patch, mark });
  }

  function redraw() {
    for (const name of ['ranked', 'worthScouting', 'leftOut']) groups[name].clearLayers();
    drawn = new Map();
    // Best last, so that it lies on top of its neighbours.
    for (const site of [...state.ranking().sites].reverse()) drawSite(site);
  }

  function mark(siteId, name, isOn) {
    const found = drawn.get(siteId);
    if (!found) return;
    for (const layer of [found.patch, found.mark].filter(Boolean)) {
      const node = layer.getElement();
      if (node) node.classList.toggle(name, isOn);
    }
  }

  let hadNumbers = null;
  function renumber() {
    const hasNumbers = map.getZoom() >= NUMBERS_FROM_ZOOM;
    if (hasNumbers === hadNumbers) return;
    hadNumbers = hasNumbers;
    for (const { site, mark: pin } of drawn.values()) {
      if (pin && site.group === 'ranked' && site.rank > data.season.top_n) pin.setIcon(icon(site));
    }
    if (state.siteId !== null) mark(state.siteId, 'is-chosen', true);
  }

  let chosen = null;
  function follow(siteId, from) {
    mark(chosen, 'is-chosen', false);
    chosen = siteId;
    mark(siteId, 'is-chosen', true);
    const found = drawn.get(siteId);
    if (!found || from !== 'list' || found.site.latitude_deg === null) return;
    const zoom = Math.max(map.getZoom(), found.patch ? Math.min(13, map.getBoundsZoom(found.patch.getBounds(), false, L.point(160, 160))) : 12);
    map.setView([found.site.latitude_deg, found.site.longitude_deg], zoom, { animate: false });
  }

  map.on('zoomend', renumber);
  state.on('ranking', redraw);
  state.on('hot', (siteId, isHot) => mark(siteId, 'is-hot', isHot));
  state.on('chosen', follow);
});
