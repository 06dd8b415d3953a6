'use strict';
// Measures along points tapped on the map: the whole way, the last leg, its bearing.
seasonMap.part(() => {
  const { element, words, layers, geodesy, howFar, mapBars, mapTaps, plainButton } = seasonMap;
  const SAME_PX = 3; // two taps nearer than this are one that bounced
  const marks = L.layerGroup().addTo(layers.map);
  let points = [];
  let isMeasuring = false;

  const button = layers.addButton(words.measure, 'measure');
  button.setAttribute('aria-pressed', 'false');
  const told = element('p', { role: 'status' });
  const undo = plainButton(words.measureUndo, () => { points = points.slice(0, -1); refresh(); });
  const bar = mapBars.add(words.measure, true, told, element('div', { class: 'bar-buttons' },
    plainButton(words.measureMiddle, () => add(mapTaps.middle())), undo, plainButton(words.measureEnd, () => mapTaps.release())));

  const latlng = (point) => [point.latitude_deg, point.longitude_deg];

  function whole() {
    let sum_m = 0;
    for (let index = 1; index < points.length; index += 1) sum_m += geodesy.inverse(points[index - 1], points[index]).distance_m;
    return howFar.distance(sum_m);
  }

  function text() {
    if (points.length === 0) return words.measureHow;
    if (points.length === 1) return words.measureOne;
    const [before, last] = points.slice(-2);
    return words.measured(whole(), howFar.leg(before, last), points.length - 1);
  }

  function draw() {
    marks.clearLayers();
    if (points.length > 1) {
      for (const kind of ['field-line is-under', 'field-line']) {
        marks.addLayer(L.polyline(points.map(latlng), { pane: 'field', className: kind, interactive: false, smoothFactor: 0 }));
      }
    }
    for (const point of points) marks.addLayer(mapBars.dot(...latlng(point), 'is-measured'));
  }

  function refresh() {
    draw();
    told.textContent = text();
    undo.disabled = points.length === 0;
    bar.hidden = !isMeasuring;
    button.setAttribute('aria-pressed', String(isMeasuring));
  }

  function add(point) {
    const last = points[points.length - 1];
    const apart = last && layers.map.latLngToContainerPoint(latlng(last)).distanceTo(layers.map.latLngToContainerPoint(latlng(point)));
    if (last && apart < SAME_PX) return;
    points = [...points, point];
    refresh();
  }

  function end() {
    const isInside = bar.contains(document.activeElement);
    isMeasuring = false;
    points = [];
    refresh();
    if (isInside) button.focus();
  }

  function begin() {
    mapTaps.take({ tap: add, end });
    isMeasuring = true;
    refresh();
  }

  button.addEventListener('click', () => { if (isMeasuring) mapTaps.release(); else begin(); });
});
