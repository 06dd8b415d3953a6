'use strict';
// The map, the groups its symbols live in, and the things around its edge.
seasonMap.part(() => {
  const { data, element, words, symbols, place } = seasonMap;
  const map = map_season;
  const control = layer_control_layers;

  // Patches lie over roads and districts; names over the small symbols; numbered sites on top of all.
  const PANES = { patches: 410, outMarks: 570, marks: 580, records: 590, names: 595 };
  for (const [name, height] of Object.entries(PANES)) {
    map.createPane(name).style.zIndex = height;
  }
  map.getPane('names').style.pointerEvents = 'none';

  const OFF_AT_FIRST = ['findings'];
  const groups = Object.fromEntries(Object.keys(words.layerNames).map((name) => [name, L.layerGroup()]));
  const hasNothing = { crews: data.crews.length === 0, names: data.districts.length + data.places.length === 0, findings: data.findings.length === 0 };
  for (const [name, group] of Object.entries(groups)) {
    if (!OFF_AT_FIRST.includes(name)) group.addTo(map);
    if (!hasNothing[name]) control.addOverlay(group, words.layerNames[name]);
  }

  // folium's switch has ids; the words of it are the page's.
  for (const entry of control._layers) entry.name = words.baseNames[entry.name] || entry.name;
  control._update();

  // folium names its layers after the ids they were added under.
  const base = (id) => window[`geo_json_${id}`] || null;

  function frameSites() {
    const sites = seasonMap.state.ranking().sites.filter((site) => site.latitude_deg !== null);
    const ranked = sites.filter((site) => site.group === 'ranked');
    const framed = ranked.length > 1 ? ranked : sites;
    if (framed.length === 0) return;
    const bounds = L.latLngBounds(framed.map((site) => [site.latitude_deg, site.longitude_deg]));
    // Room for the buttons above, the zoom buttons at the right, and the height of a flag.
    const [left, top, right, below] = seasonMap.isNarrow() ? [26, 80, 58, 62] : [44, 100, 68, 40];
    map.fitBounds(bounds, { paddingTopLeft: [left, top], paddingBottomRight: [right, below], maxZoom: 13, animate: false });
  }

  function addLayerSwitch() {
    const fold = element('details', { class: 'map-fold', id: 'layers' },
      element('summary', {}, words.layers), element('div', { class: 'fold-body' }, control.getContainer()));
    const whole = element('button', { class: 'map-button', type: 'button' }, words.whole);
    whole.addEventListener('click', frameSites);
    place('tools').prepend(fold, whole);
  }

  function addButton(label, id) {
    const button = element('button', { class: 'map-button', type: 'button', id }, label);
    place('tools').append(button);
    return button;
  }

  const North = L.Control.extend({
    onAdd: () => element('div', { class: 'north', role: 'img', 'aria-label': words.northLabel }, symbols.north(), words.north),
  });

  function addFurniture() {
    L.control.zoom({ position: 'topright' }).addTo(map);
    new North({ position: 'topright' }).addTo(map);
    L.control.scale({ position: 'bottomright', maxWidth: 130, imperial: true }).addTo(map);
    addLayerSwitch();
  }

  // From afar, records shrink and, on narrow screens, the names of crew bases go.
  const FAR_BELOW_ZOOM = 11;
  map.on('zoomend', () => map.getContainer().classList.toggle('is-far', map.getZoom() < FAR_BELOW_ZOOM));

  new ResizeObserver(() => map.invalidateSize({ animate: false })).observe(map.getContainer());

  seasonMap.layers = { map, groups, base, frameSites, addFurniture, addButton };
});
