'use strict';
// Paints the printed map: lines of the base, grid and patches over the relief, all at once.
seasonMap.part(() => {
  const { data, state, symbols, layers, filters, paperInk, paperRelief } = seasonMap;
  const { map, groups } = layers;
  // Per CSS pixel. Chromium prints the canvas as lines and scales them in steps of 1/64: other ratios shift the map.
  const CANVAS_PX = 2;
  const LINE_SHARE = 0.75; // lines are finer than on the screen
  const SMALL_PX = 3.2; // smaller patches are squares of this size
  const TEXTURE_FROM_PX = 6; // smaller patches have no room for hatching
  const ALERT = '#a8480f';
  const GREY = '#56636b';
  // Without colour, forbidden ground would be bounded by roads, and two kinds of dots and of dashes would be one.
  const CROSSED_OUT = ['land_forbid'];
  const DASHES = { treatments: '9 4 2 4', land_prefer: '14 3 2 3 2 3' };

  function pathsOf(layer) {
    if (layer instanceof L.Polyline) return [layer];
    return layer instanceof L.LayerGroup ? layer.getLayers().flatMap(pathsOf) : [];
  }

  const flatLines = (latlngs) => (Array.isArray(latlngs[0]) ? latlngs.flatMap(flatLines) : [latlngs.map(({ lat, lng }) => [lat, lng])]);
  const dashes = (text) => String(text || '').split(/[ ,]+/).filter(Boolean).map((length) => Number(length) * LINE_SHARE);

  const styleOf = (id, { options }) => ({ ...options, dashArray: DASHES[id] || options.dashArray });

  function paintPath(context, view, layer, options, isCrossedOut) {
    const isArea = layer instanceof L.Polygon;
    const shape = paperInk.shape(view, flatLines(layer.getLatLngs()), isArea);
    if (isArea && options.fill) {
      Object.assign(context, { globalAlpha: options.fillOpacity, fillStyle: options.fillColor || options.color });
      context.fill(shape.path, 'evenodd');
    }
    context.globalAlpha = options.opacity;
    if (isArea && isCrossedOut) for (const isRising of [true, false]) paperInk.hatch(context, view, shape, options.color, 9, isRising);
    if (options.stroke) {
      Object.assign(context, { strokeStyle: options.color, lineWidth: options.weight * LINE_SHARE });
      context.setLineDash(dashes(options.dashArray));
      context.stroke(shape.path);
      context.setLineDash([]);
    }
    context.globalAlpha = 1;
  }

  // The base layers that have something in the frame, with what their lines look like.
  function paintBase(context, view) {
    const drawn = new Map();
    for (const id of data.season.base_layers) {
      const layer = layers.base(id);
      if (layer === null || !map.hasLayer(layer)) continue;
      const paths = pathsOf(layer).filter((path) => path.options.opacity > 0 && path.getBounds().isValid() && view.bounds.intersects(path.getBounds()));
      for (const path of paths) paintPath(context, view, path, styleOf(id, path), seasonMap.paperMap.isCrossedOut(id));
      // The heaviest of its lines stands for it in the legend.
      if (paths.length > 0) drawn.set(id, styleOf(id, paths.reduce((most, path) => (path.options.weight > most.options.weight ? path : most))));
    }
    return drawn;
  }

  function paintGrid(context, view, grid) {
    Object.assign(context, { strokeStyle: symbols.INK, lineWidth: 0.5, globalAlpha: 0.3 });
    context.beginPath();
    for (const { x } of grid.meridians) { context.moveTo(x, 0); context.lineTo(x, view.height); }
    for (const { y } of grid.parallels) { context.moveTo(0, y); context.lineTo(view.width, y); }
    context.stroke();
    context.globalAlpha = 1;
  }

  const LOOKS = {
    ranked: (site) => ({ fill: symbols.fill(site.score_low), edge: symbols.INK }),
    worthScouting: () => ({ fill: '#ffffff', edge: symbols.INK, dash: [3, 2], texture: (context, view, shape) => paperInk.dots(context, view, shape, symbols.INK, 5) }),
    leftOut: () => ({ fill: '#ffffff', edge: GREY, texture: (context, view, shape) => paperInk.hatch(context, view, shape, GREY, 4, true) }),
  };

  function paintPatch(context, view, site, isChosen) {
    const shape = paperInk.shape(view, data.outline(state.agentIndex, site.site_id).flat(), true);
    if (!paperInk.isInFrame(shape, view)) return false;
    const { fill, edge, dash, texture } = LOOKS[site.group](site);
    Object.assign(context, { fillStyle: fill, strokeStyle: edge, lineWidth: 0.9 });
    if (shape.size < SMALL_PX) {
      const [x, y] = [(shape.box.left + shape.box.right - SMALL_PX) / 2, (shape.box.top + shape.box.bottom - SMALL_PX) / 2];
      context.fillRect(x, y, SMALL_PX, SMALL_PX);
      context.strokeRect(x, y, SMALL_PX, SMALL_PX);
      return true;
    }
    context.fill(shape.path, 'evenodd');
    if (texture && shape.size >= TEXTURE_FROM_PX) texture(context, view, shape);
    Object.assign(context, isChosen ? { strokeStyle: ALERT, lineWidth: 2.4 } : { strokeStyle: edge, lineWidth: 0.9 });
    context.setLineDash(dash && !isChosen ? dash : []);
    context.stroke(shape.path);
    context.setLineDash([]);
    return true;
  }

  // The best last, and the chosen one over all. Returns how many patches of each kind are in the frame.
  function paintPatches(context, view) {
    const counts = { ranked: 0, worthScouting: 0, leftOut: 0 };
    const isChosen = (site) => site.site_id === state.siteId;
    const sites = filters.shown().filter((site) => map.hasLayer(groups[site.group]));
    const height = (site) => (isChosen(site) ? -1 : { ranked: site.rank, worthScouting: 1e9, leftOut: 2e9 }[site.group]);
    for (const site of sites.sort((one, other) => height(other) - height(one))) {
      if (paintPatch(context, view, site, isChosen(site))) counts[site.group] += 1;
    }
    return counts;
  }

  // Returns what was drawn: for the legend.
  seasonMap.paperMap = (canvas, view, grid) => {
    Object.assign(canvas, { width: view.width * CANVAS_PX, height: view.height * CANVAS_PX });
    Object.assign(canvas.style, { width: `${view.width}px`, height: `${view.height}px` });
    const context = canvas.getContext('2d');
    context.scale(CANVAS_PX, CANVAS_PX);
    context.lineJoin = 'round';
    paperRelief(context, view);
    paintGrid(context, view, grid);
    return { base: paintBase(context, view), patches: paintPatches(context, view) };
  };
  seasonMap.paperMap.isCrossedOut = (id) => CROSSED_OUT.includes(id);
});
