'use strict';
// Heights along the heavier contour lines, where the line is straight enough and nothing else stands.
seasonMap.part(() => {
  const { contours, element, layers, numbers, standing } = seasonMap;
  const { map } = layers;
  if (!contours) return;
  const PANE_HEIGHT = 405; // over lines, under patches
  const HEIGHT_PX = 16;
  const LETTER_PX = 7.5;
  const MARGIN_PX = 6;
  const STEP_PX = 12; // from one place that is tried to the next
  const STRAIGHT = 0.97; // of the line's length there, the way from end to end
  const APART_PX = 320; // along one line

  const pane = map.createPane('contourLabels');
  pane.style.zIndex = PANE_HEIGHT;
  pane.style.pointerEvents = 'none';
  const group = L.layerGroup();

  // The parts of a line that are in view, as pixels with the way from the part's beginning to each.
  function partsInView(line, view) {
    const parts = [];
    let last = null;
    const points = line.map((position) => map.latLngToContainerPoint(position));
    for (let at = 1; at < points.length; at += 1) {
      const cut = L.LineUtil.clipSegment(points[at - 1], points[at], view);
      if (!cut) continue;
      const [from, to] = cut;
      if (last === null || !last.equals(from)) parts.push([{ x: from.x, y: from.y, way: 0 }]);
      const part = parts[parts.length - 1];
      part.push({ x: to.x, y: to.y, way: part[part.length - 1].way + from.distanceTo(to) });
      last = to;
    }
    return parts;
  }

  function along(part, way) {
    const next = Math.max(1, part.findIndex((point) => point.way >= way));
    const [from, to] = [part[next - 1], part[next]];
    const share = (way - from.way) / (to.way - from.way || 1);
    return { x: from.x + share * (to.x - from.x), y: from.y + share * (to.y - from.y) };
  }

  // A label in the middle of so much line, turned as the line runs, never upside down.
  function labelAt(part, way, width) {
    const [from, to, middle] = [way - width / 2, way + width / 2, way].map((at) => along(part, at));
    if (Math.hypot(to.x - from.x, to.y - from.y) < STRAIGHT * width) return null;
    const slope = Math.atan2(to.y - from.y, to.x - from.x);
    const turn = slope > Math.PI / 2 ? slope - Math.PI : slope < -Math.PI / 2 ? slope + Math.PI : slope;
    const [cos, sin] = [Math.abs(Math.cos(turn)), Math.abs(Math.sin(turn))];
    const [half, rise] = [(width * cos + HEIGHT_PX * sin) / 2 + MARGIN_PX, (width * sin + HEIGHT_PX * cos) / 2 + MARGIN_PX];
    return { ...middle, turn, left: middle.x - half, right: middle.x + half, top: middle.y - rise, bottom: middle.y + rise };
  }

  function add(label, text) {
    const span = element('span', {}, text);
    span.style.transform = `translate(-50%, -50%) rotate(${label.turn}rad)`;
    const icon = L.divIcon({ className: 'contour-height', html: span, iconSize: [0, 0] });
    L.marker(map.containerPointToLatLng([label.x, label.y]), { icon, pane: 'contourLabels', interactive: false, keyboard: false }).addTo(group);
  }

  function place() {
    group.clearLayers();
    if (!map.hasLayer(contours.layer)) return;
    const view = L.bounds([0, 0], map.getSize());
    const taken = [...standing.furniture(), ...standing.symbols()];
    for (const { elevation_m, lines } of contours.indexLines()) {
      const text = numbers.quantity(elevation_m, 'm');
      const width = text.length * LETTER_PX;
      for (const part of lines.flatMap((line) => partsInView(line, view))) {
        const end = part[part.length - 1].way - width / 2;
        for (let way = width / 2; way <= end; way += STEP_PX) {
          const label = labelAt(part, way, width);
          if (label === null || !standing.isFree(label, taken)) continue;
          taken.push(label);
          add(label, text);
          way += APART_PX;
        }
      }
    }
  }

  // Once for all that happens together, and after the symbols have their new places.
  let frame = null;
  function placeSoon() {
    if (frame !== null) cancelAnimationFrame(frame);
    frame = requestAnimationFrame(() => { frame = null; place(); });
  }

  group.addTo(map);
  map.on('moveend resize overlayadd overlayremove', placeSoon);
  for (const event of ['ranking', 'order', 'shown']) seasonMap.state.on(event, placeSoon);
});
