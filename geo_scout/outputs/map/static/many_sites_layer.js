'use strict';
// Patches and flags of a large season: all patches on one canvas, flags for the first sites only.
seasonMap.part(() => {
  const { data, state, symbols, layers, filters, siteMark } = seasonMap;
  if (!data.season.is_large) return;
  const { map, groups } = layers;
  const FLAGS = 25;
  const RAMP_FROM = 2; // class of the lowest step of the scores
  const CLASS = { leftOut: 0, worthScouting: 1 };
  const bulks = new Map(); // by host
  let bulk = null;
  let siteOfPatch = [];
  let isBegun = false; // nothing is drawn before the map has its place
  let flags = L.layerGroup();
  const marked = { hot: null, chosen: null };

  function pattern(draw) {
    const tile = document.createElement('canvas');
    [tile.width, tile.height] = [8, 8];
    const context = tile.getContext('2d');
    context.fillStyle = '#ffffff';
    context.fillRect(0, 0, 8, 8);
    draw(context);
    return context.createPattern(tile, 'repeat');
  }

  const hatch = () => pattern((context) => {
    Object.assign(context, { strokeStyle: '#7b858b', lineWidth: 1.5 });
    for (const start of [-8, 0, 8]) { context.beginPath(); context.moveTo(start, 8); context.lineTo(start + 8, 0); context.stroke(); }
  });
  const dots = () => pattern((context) => {
    context.fillStyle = symbols.INK;
    for (const at of [2, 6]) { context.beginPath(); context.arc(at, at, 1.1, 0, 7); context.fill(); }
  });

  const looks = () => [
    { fill: hatch(), stroke: '#56636b', width: 1.2, isHollow: true },
    { fill: dots(), stroke: symbols.INK, width: 1.4, dash: [4, 3], isHollow: true },
    ...symbols.RAMP.map((colour) => ({ fill: colour, stroke: symbols.INK, width: 1.2 })),
  ];

  function bulkOf(patches) {
    if (!bulks.has(patches.host)) bulks.set(patches.host, seasonMap.bulkLayer(patches.polygons, looks()));
    return bulks.get(patches.host);
  }

  const isSwitchedOn = (group) => map.hasLayer(groups[group]);

  function classOf(site) {
    if (!isSwitchedOn(site.group) || !filters.passes(site)) return seasonMap.bulkLayer.HIDDEN;
    return site.group === 'ranked' ? RAMP_FROM + symbols.step(site.score_low) : CLASS[site.group];
  }

  function flag(site) {
    const mark = L.marker([site.latitude_deg, site.longitude_deg], {
      icon: siteMark.flag(site), keyboard: false, zIndexOffset: siteMark.height(site), riseOnHover: true,
    });
    return siteMark.listen(mark, site);
  }

  function redrawFlags() {
    flags.remove();
    flags = L.layerGroup();
    if (!isSwitchedOn('ranked')) return;
    const first = filters.shownIn('ranked').filter((site) => site.rank <= FLAGS && site.latitude_deg !== null);
    for (const site of first.reverse()) flag(site).addTo(flags);
    flags.addTo(map);
  }

  function classesNow() {
    const classes = new Uint8Array(bulk.classes.length).fill(seasonMap.bulkLayer.HIDDEN);
    siteOfPatch.forEach((site, patch) => { if (site) classes[patch] = classOf(site); });
    return classes;
  }

  function repaint() {
    if (!isBegun) return;
    bulk.setClasses(classesNow());
    redrawFlags();
  }

  function redraw() {
    const patches = data.patchesOf(state.agentIndex);
    const next = bulkOf(patches);
    const before = bulk;
    bulk = next;
    siteOfPatch = new Array(patches.site_id.length).fill(null);
    for (const site of state.ranking().sites) siteOfPatch[data.patchNumber(state.agentIndex, site.site_id)] = site;
    repaint();
    if (before === bulk) return;
    if (before) before.remove();
    if (isBegun) bulk.addTo(map);
  }

  // A patch that is pointed at or chosen is drawn once more on top, alone.
  function mark(kind, siteId) {
    if (marked[kind]) marked[kind].remove();
    marked[kind] = null;
    const outline = siteId === null ? [] : data.outline(state.agentIndex, siteId);
    if (outline.length === 0) return;
    marked[kind] = L.polygon(outline, { pane: 'patches', className: `site-patch is-${kind}`, fill: false, interactive: false, smoothFactor: 0.5 }).addTo(map);
  }

  const siteAt = (latlng) => siteOfPatch[bulk.patchAt(latlng)] || null;

  map.on('click', (event) => {
    const site = siteAt(event.latlng);
    if (site) state.choose(site.site_id, 'map');
  });
  let hot = null;
  map.on('mousemove', (event) => {
    const site = siteAt(event.latlng);
    if (site === hot) return;
    if (hot) state.point(hot.site_id, false);
    hot = site;
    map.getContainer().classList.toggle('is-over-site', site !== null);
    if (hot) state.point(hot.site_id, true);
  });
  map.on('overlayadd overlayremove', () => { if (bulk) repaint(); });

  seasonMap.drawManyPatches = () => {
    redraw();
    bulk.setClasses(classesNow()).addTo(map);
    isBegun = true;
  };
  state.on('ranking', redraw);
  state.on('order', repaint);
  state.on('shown', repaint);
  state.on('hot', (siteId, isHot) => mark('hot', isHot ? siteId : null));
  state.on('chosen', (siteId, from) => {
    mark('chosen', siteId);
    const site = siteId === null ? null : state.site(siteId);
    if (!site || from !== 'list' || site.latitude_deg === null) return;
    map.setView([site.latitude_deg, site.longitude_deg], Math.max(map.getZoom(), 13), { animate: false });
  });
});
