'use strict';
// Patches and site symbols of the ranking that is shown.
seasonMap.part(() => {
  const { data, state, symbols, layers, filters, siteMark } = seasonMap;
  if (data.season.is_large) return; // many_sites_layer.js draws those
  const { map, groups } = layers;
  const NUMBERS_FROM_ZOOM = 12; // from here on there is room for every rank
  const GROUPS = ['ranked', 'worthScouting', 'leftOut'];
  let drawn = new Map(); // site_id -> {site, patch, mark, looks, isOn}

  const STYLES = {
    ranked: (site) => ({ fillColor: symbols.fill(site.score_low), fillOpacity: 0.85, color: symbols.INK, weight: 1.4 }),
    worthScouting: () => ({ fillColor: 'url(#dots)', fillOpacity: 0.75, color: symbols.INK, weight: 1.4, dashArray: '4 3' }),
    leftOut: () => ({ fillColor: 'url(#hatch)', fillOpacity: 0.75, color: '#56636b', weight: 1.2 }),
  };

  const isTop = (site) => site.rank <= data.season.top_n;
  const hasNumber = (site) => isTop(site) || map.getZoom() >= NUMBERS_FROM_ZOOM;

  function icon(site) {
    if (site.group === 'worthScouting') return symbols.icon(symbols.scout(), 'site-mark');
    if (site.group === 'leftOut') return symbols.icon(symbols.cross(), 'site-mark');
    return hasNumber(site)
      ? siteMark.flag(site)
      : symbols.icon(symbols.dot(site.role, site.score_low), 'site-mark');
  }

  // What a mark looks like, in short: it is made anew only when this changes.
  const looks = (site) => (site.group === 'ranked' ? `${hasNumber(site) ? site.rank : ''} ${symbols.fill(site.score_low)}` : '');

  function pane(site) {
    if (site.group !== 'ranked') return 'outMarks';
    return isTop(site) ? 'markerPane' : 'marks';
  }

  function drawMark(site) {
    if (site.latitude_deg === null) return null;
    const mark = L.marker([site.latitude_deg, site.longitude_deg], {
      icon: icon(site), pane: pane(site), keyboard: false, zIndexOffset: siteMark.height(site), riseOnHover: true,
    });
    return siteMark.listen(mark, site);
  }

  function drawPatch(site) {
    const outline = data.outline(state.agentIndex, site.site_id);
    if (outline.length === 0) return null;
    const patch = L.polygon(outline, {
      pane: 'patches', className: 'site-patch', smoothFactor: 0.5, bubblingMouseEvents: false, ...STYLES[site.group](site),
    });
    return siteMark.listen(patch, site);
  }

  const layersOf = (one) => [one.patch, one.mark].filter(Boolean);

  function put(one, isOn) {
    for (const layer of layersOf(one)) {
      if (isOn) layer.addTo(groups[one.site.group]); else groups[one.site.group].removeLayer(layer);
    }
    one.isOn = isOn;
  }

  function redraw() {
    for (const name of GROUPS) groups[name].clearLayers();
    drawn = new Map();
    // Best last, so that it lies on top of its neighbours.
    const sites = [...state.ranking().sites].reverse().sort((one, other) => (other.rank ?? Infinity) - (one.rank ?? Infinity) || 0);
    for (const site of sites) {
      const one = { site, patch: drawPatch(site), mark: drawMark(site), looks: looks(site), pane: pane(site) };
      drawn.set(site.site_id, one);
      put(one, filters.passes(site));
    }
    markAgain();
  }

  function mark(siteId, name, isOn) {
    const found = drawn.get(siteId);
    if (!found) return;
    for (const layer of layersOf(found)) {
      const node = layer.getElement();
      if (node) node.classList.toggle(name, isOn);
    }
  }

  const markAgain = () => { if (state.siteId !== null) mark(state.siteId, 'is-chosen', true); };

  // Other weights: only what looks different is made anew.
  function reorder() {
    for (const one of drawn.values()) {
      const { site } = one;
      if (site.group !== 'ranked') continue;
      const now = looks(site);
      if (now !== one.looks) {
        one.patch?.setStyle(STYLES.ranked(site));
        if (pane(site) === one.pane) one.mark?.setIcon(icon(site));
        else replaceMark(one);
      }
      one.mark?.setZIndexOffset(siteMark.height(site));
      one.looks = now;
      one.pane = pane(site);
    }
    markAgain();
  }

  // Leaflet never moves a marker to another pane.
  function replaceMark(one) {
    if (!one.mark) return;
    if (one.isOn) groups.ranked.removeLayer(one.mark);
    one.mark = drawMark(one.site);
    if (one.isOn) one.mark.addTo(groups.ranked);
  }

  function refilter() {
    for (const one of drawn.values()) {
      const isOn = filters.passes(one.site);
      if (isOn !== one.isOn) put(one, isOn);
    }
    markAgain();
  }

  function renumber() {
    for (const one of drawn.values()) {
      const { site } = one;
      if (site.group !== 'ranked' || looks(site) === one.looks) continue;
      one.mark?.setIcon(icon(site));
      one.looks = looks(site);
    }
    markAgain();
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
  state.on('order', reorder);
  state.on('shown', refilter);
  state.on('hot', (siteId, isHot) => mark(siteId, 'is-hot', isHot));
  state.on('chosen', follow);
});
