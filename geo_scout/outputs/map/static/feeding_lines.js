'use strict';
// Lines on the map from the chosen site to its possible sources, or to the sites it could feed.
seasonMap.part(() => {
  const { element, words, data, state, layers, feeding, filters, howFar, place, symbols } = seasonMap;
  const { map } = layers;
  const PANES = { feeding: 565, feedingNames: 596 }; // below the symbols, and over the small ones
  const [FLAG_PX, FLAG_HEIGHT_PX, EDGE_PX, LEAST_PX] = [34, 35, 8, 40];
  const FLAGS_LOOKED_AT = 200;
  const MOST_COVERED = 0.35; // a label that would lie under more is left to the card
  const STEPS = 12; // places to either side of the middle that are tried
  for (const [name, height] of Object.entries(PANES)) Object.assign(map.createPane(name).style, { zIndex: height, pointerEvents: 'none' });

  const drawn = L.layerGroup().addTo(map);
  let labels = []; // {from, to, mark}
  let ends = []; // latlngs of the flags at the other ends
  let isOn = true;

  const latlng = (site) => L.latLng(site.latitude_deg, site.longitude_deg);

  function label(site, one) {
    const gap = one.gap === null ? null : feeding.gapWords(site, one, words.feedingGapShort);
    const told = [gap, howFar.distance(one.distance_m)].filter(Boolean).join(' · ');
    const text = element('span', { class: 'feeding-label' },
      element('span', { class: 'feeding-name' }, words.rankedName(one.other.rank, ''), element('bdi', {}, feeding.nameOf(one.other))), element('span', {}, told));
    return L.marker(latlng(one.other), { icon: L.divIcon({ className: 'feeding-mark', html: text, iconSize: [0, 0] }), pane: 'feedingNames', interactive: false, keyboard: false });
  }

  function end({ other }) {
    const mark = L.marker(latlng(other), { icon: symbols.icon(symbols.flag(other.role, other.rank, other.score_low), 'feeding-end', [FLAG_PX / 2, FLAG_HEIGHT_PX - 1]), pane: 'marks', keyboard: false });
    mark.on('click', () => feeding.open(other));
    return mark;
  }

  function redraw() {
    drawn.clearLayers();
    [labels, ends] = [[], []];
    const site = isOn && state.siteId !== null ? state.site(state.siteId) : null;
    if (!site || site.latitude_deg === null) return;
    for (const one of feeding.of(site).filter(({ distance_m }) => distance_m !== null)) {
      const [from, to] = [latlng(site), latlng(one.other)];
      for (const kind of ['feeding-line is-under', 'feeding-line']) drawn.addLayer(L.polyline([from, to], { pane: 'feeding', className: kind, interactive: false, smoothFactor: 0 }));
      const mark = label(site, one);
      drawn.addLayer(mark);
      drawn.addLayer(end(one));
      labels.push({ from, to, mark });
      ends.push(to);
    }
    settle();
  }

  // ---- where the labels stand: at the middle of what is seen of a line, or as near to it as there is room
  const flagBox = ({ x, y }) => [x - FLAG_PX / 2, y - FLAG_HEIGHT_PX, x + FLAG_PX / 2, y];
  const overlaps = ([a, b, c, d], [e, f, g, h]) => Math.max(0, Math.min(c, g) - Math.max(a, e)) * Math.max(0, Math.min(d, h) - Math.max(b, f));

  function view() {
    const { x: width, y: height } = map.getSize();
    const card = place('card');
    const covered = card.hidden || seasonMap.isNarrow() ? 0 : card.offsetLeft + card.offsetWidth;
    return L.bounds([Math.min(covered, width / 2) + EDGE_PX, EDGE_PX], [width - EDGE_PX, height - EDGE_PX]);
  }

  function flags() {
    const first = filters.shownIn('ranked').slice(0, FLAGS_LOOKED_AT).filter((site) => site.rank <= data.season.top_n && site.latitude_deg !== null);
    return [...first.map(latlng), ...ends].map((one) => flagBox(map.latLngToContainerPoint(one)));
  }

  // From the middle outwards: 0.5, then a step to either side, and so on.
  const ALONG = Array.from({ length: 2 * STEPS + 1 }, (_, number) => 0.5 + (number % 2 === 0 ? 1 : -1) * (Math.ceil(number / 2) * 0.45) / STEPS);

  function stand({ from, to, mark }, seen, taken) {
    const box = mark.getElement()?.firstElementChild;
    if (!box) return;
    box.hidden = false;
    const [width, height] = [box.offsetWidth, box.offsetHeight];
    const half = L.point(width / 2, height / 2);
    const room = L.bounds(seen.min.add(half), seen.max.subtract(half));
    const part = L.LineUtil.clipSegment(map.latLngToContainerPoint(from), map.latLngToContainerPoint(to), room);
    box.hidden = !part || part[0].distanceTo(part[1]) < LEAST_PX;
    if (box.hidden) return;
    const tried = ALONG.map((share) => {
      const at = part[0].add(part[1].subtract(part[0]).multiplyBy(share));
      const around = [at.x - width / 2, at.y - height / 2, at.x + width / 2, at.y + height / 2];
      return { at, around, covered: taken.reduce((sum, one) => sum + overlaps(around, one), 0) };
    });
    const best = tried.reduce((one, next) => (next.covered < one.covered ? next : one));
    box.hidden = best.covered > MOST_COVERED * width * height;
    if (box.hidden) return;
    taken.push(best.around);
    mark.setLatLng(map.containerPointToLatLng(best.at));
  }

  function settle() {
    if (labels.length === 0) return;
    const [seen, taken] = [view(), flags()];
    for (const one of labels) stand(one, seen, taken);
  }
  map.on('moveend zoomend resize', settle);

  const box = element('input', { type: 'checkbox', id: 'feeding-on' });
  box.checked = isOn;
  box.addEventListener('change', () => { isOn = box.checked; redraw(); });

  for (const event of ['chosen', 'order', 'ranking']) state.on(event, redraw);

  seasonMap.feedingLines = {
    node: element('section', { class: 'field-part', 'aria-labelledby': 'feeding-title' },
      element('h2', { id: 'feeding-title' }, words.feedingTitle),
      element('p', { class: 'soft' }, words.feedingHow),
      element('label', { class: 'check' }, box, element('span', {}, words.feedingOn))),
  };
});
