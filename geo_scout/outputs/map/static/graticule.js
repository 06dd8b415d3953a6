'use strict';
// Meridians and parallels at round steps, with their degrees at the edges of the map.
seasonMap.part(() => {
  const { element, layers, words, standing } = seasonMap;
  const { map } = layers;
  const PANE_HEIGHT = 404; // over the base's lines, under patches
  const STEPS_SECONDS = [1, 2, 5, 10, 20, 30].flatMap((number) => [number, number * 60]).sort((one, other) => one - other)
    .concat([1, 2, 5, 10, 20].map((degrees) => degrees * 3600));
  const leastApart = () => (seasonMap.isNarrow() ? 76 : 110); // pixels from one meridian to the next
  const EDGE_PX = 4;
  const OVER_BUTTONS_PX = 56;
  const MOST_LATITUDE = 85;

  map.createPane('graticule').style.zIndex = PANE_HEIGHT;
  map.getPane('graticule').style.pointerEvents = 'none';
  const renderer = L.svg({ pane: 'graticule', padding: 1 }); // a whole view around, so that a drag uncovers no end
  const lines = L.polyline([], { renderer, pane: 'graticule', className: 'graticule-line', interactive: false, smoothFactor: 0 });
  const edge = element('div', { class: 'graticule', 'aria-hidden': 'true' });

  function stepSeconds() {
    const pxPerDegree = map.project([0, 1]).x - map.project([0, 0]).x;
    return STEPS_SECONDS.find((step) => (step / 3600) * pxPerDegree >= leastApart()) || STEPS_SECONDS[STEPS_SECONDS.length - 1];
  }

  function multiples(from, to, step) {
    const found = [];
    for (let number = Math.ceil((from * 3600) / step); number * step <= to * 3600; number += 1) found.push(number * step);
    return found;
  }

  const parallelsOf = (bounds, step) => multiples(Math.max(bounds.getSouth(), -MOST_LATITUDE), Math.min(bounds.getNorth(), MOST_LATITUDE), step);
  const meridiansOf = (bounds, step) => multiples(bounds.getWest(), bounds.getEast(), step);

  function drawLines() {
    const bounds = map.getBounds().pad(1);
    const step = stepSeconds();
    lines.setLatLngs([
      ...meridiansOf(bounds, step).map((seconds) => [[bounds.getSouth(), seconds / 3600], [bounds.getNorth(), seconds / 3600]]),
      ...parallelsOf(bounds, step).map((seconds) => [[seconds / 3600, bounds.getWest()], [seconds / 3600, bounds.getEast()]]),
    ]);
  }

  function told(seconds, step, [ahead, behind]) {
    const whole = Math.abs(seconds);
    const parts = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60, whole % 60];
    const shown = step % 3600 === 0 ? 1 : step % 60 === 0 ? 2 : 3;
    return words.graticuleDegrees(parts.slice(0, shown), seconds < 0 ? behind : ahead);
  }

  const wrapped = (seconds) => ((((seconds + 648000) % 1296000) + 1296000) % 1296000) - 648000;

  function labelsOf(bounds, step) {
    const meridians = meridiansOf(bounds, step).map((seconds) => {
      const at = map.latLngToContainerPoint([bounds.getSouth(), seconds / 3600]).x;
      return { text: told(wrapped(seconds), step, words.eastWest), corners: (width, height, size) => [size.y - height - EDGE_PX, EDGE_PX, size.y - height - OVER_BUTTONS_PX].map((top) => [at - width / 2, top]) };
    });
    const parallels = parallelsOf(bounds, step).map((seconds) => {
      const at = map.latLngToContainerPoint([seconds / 3600, bounds.getWest()]).y;
      return { text: told(seconds, step, words.northSouth), corners: (width, height, size) => [EDGE_PX, size.x - width - EDGE_PX].map((left) => [left, at - height / 2]) };
    });
    return [...meridians, ...parallels].map((label) => ({ ...label, node: element('span', {}, label.text) }));
  }

  // Each label at the first of its places where nothing stands, or not at all.
  function write() {
    const labels = labelsOf(map.getBounds(), stepSeconds());
    seasonMap.replace(edge);
    const taken = standing.furniture();
    seasonMap.replace(edge, ...labels.map(({ node }) => node));
    const size = map.getSize();
    const measured = labels.map((label) => ({ ...label, width: label.node.offsetWidth, height: label.node.offsetHeight }));
    for (const { node, corners, width, height } of measured) {
      const boxes = corners(width, height, size).map(([left, top]) => ({ left, top, right: left + width, bottom: top + height }));
      const free = boxes.find((box) => standing.isFree(box, taken));
      node.hidden = free === undefined;
      if (!free) continue;
      taken.push(free);
      Object.assign(node.style, { left: `${free.left}px`, top: `${free.top}px` });
    }
  }

  const Graticule = L.Layer.extend({
    onAdd() {
      map.getContainer().append(edge);
      lines.addTo(map);
      drawLines();
      write();
    },
    onRemove() {
      edge.remove();
      lines.remove();
    },
    getEvents: () => ({
      move: write, moveend: drawLines, resize: write,
      zoomstart: () => { edge.hidden = true; },
      zoomend: () => { edge.hidden = false; drawLines(); write(); },
    }),
  });

  layer_control_layers.addOverlay(new Graticule(), words.graticule);
});
