'use strict';
// Contour lines: read from the data when they are first shown, and kept under the other lines.
seasonMap.part(() => {
  const { data, layers, words, numbers } = seasonMap;
  const { map } = layers;
  const [GONE_PX, FULL_PX] = [3, 20]; // from line to line on average: crowded lines step back, and go
  const { contours, contour_interval_m: interval_m } = data.season;
  const layer = layers.base('contours');
  if (!contours || layer === null) return;

  // The first vertex, then the steps from vertex to vertex, east and north in turn.
  function positions(steps) {
    const found = [];
    let [east, north] = [0, 0];
    for (let at = 0; at < steps.length; at += 2) {
      east += steps[at];
      north += steps[at + 1];
      found.push([north * contours.step_deg, east * contours.step_deg]);
    }
    return found;
  }

  // How far lines are from each other on average, in pixels of zoom 0: the ground by their length.
  function apartOf(lines) {
    let length = 0;
    for (const line of lines) {
      const points = line.map((position) => map.project(position, 0));
      for (let at = 1; at < points.length; at += 1) length += points[at].distanceTo(points[at - 1]);
    }
    const ground = L.bounds(lines.flat().map((position) => map.project(position, 0))).getSize();
    return (ground.x * ground.y) / length;
  }

  let levels = null;
  const fullOf = new Map();
  function read() {
    levels = contours.levels.map((level) => ({ ...level, lines: level.lines.map(positions) }));
    layer.eachLayer((lines) => {
      const isIndex = lines.feature.id === 'index_contour';
      const found = levels.filter((level) => level.is_index === isIndex).flatMap((level) => level.lines);
      lines.setLatLngs(found);
      if (found.length > 0) fullOf.set(lines, { apart: apartOf(found), opacity: lines.options.opacity });
    });
  }

  function fade() {
    for (const [lines, { apart, opacity }] of fullOf) {
      const share = (apart * map.getZoomScale(map.getZoom(), 0) - GONE_PX) / (FULL_PX - GONE_PX);
      lines.setStyle({ opacity: opacity * Math.min(1, Math.max(0, share)) });
    }
  }

  function show() {
    if (levels === null) read();
    layer.eachLayer((lines) => lines.bringToBack());
    fade();
  }
  layer.on('add', show);
  map.on('zoomend', fade);
  if (map.hasLayer(layer)) show();

  const inMetres = (height) => numbers.quantity(height, 'm');
  seasonMap.contours = {
    layer,
    name: words.contourLines(inMetres(interval_m), inMetres(5 * interval_m)),
    indexLines: () => levels.filter((level) => level.is_index),
  };
});
