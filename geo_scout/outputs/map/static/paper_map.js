'use strict';
// The map on paper: what the map shows now, fitted into a frame and painted on a canvas at once.
seasonMap.part(() => {
  const { data, state, symbols, layers, filters } = seasonMap;
  const { map, groups } = layers;
  const CANVAS_PX = 2.5; // per CSS pixel, where the browser prints the canvas as a picture
  const RELIEF_PX = 1.5; // the relief's share of the file grows with the square of it
  const RELIEF_STRENGTH = 0.9;
  const DOT_PX = 3.2; // smaller patches are squares of this size
  const TEXTURE_FROM_PX = 7; // smaller patches have no room for hatching
  const LEAST_STEP_PX = 0.35; // vertices nearer to the one before are not drawn
  const ALERT = '#a8480f';
  const GREY = '#56636b';

  const east = (longitude) => longitude / 360 + 0.5;
  const south = (latitude) => 0.5 - Math.asinh(Math.tan((latitude * Math.PI) / 180)) / (2 * Math.PI);

  // The map's present extent, whole, in the middle of a frame of which the safe height is printed on every paper.
  function viewOf(width, height, safeHeight) {
    const bounds = map.getBounds();
    const [left, right] = [east(bounds.getWest()), east(bounds.getEast())];
    const [top, bottom] = [south(bounds.getNorth()), south(bounds.getSouth())];
    const scale = Math.min(width / (right - left), safeHeight / (bottom - top));
    const [shiftX, shiftY] = [width / 2 - ((left + right) / 2) * scale, height / 2 - ((top + bottom) / 2) * scale];
    const view = {
      width, height, safeHeight, scale,
      safeTop: (height - safeHeight) / 2,
      x: (longitude) => east(longitude) * scale + shiftX,
      y: (latitude) => south(latitude) * scale + shiftY,
      longitude: (x) => ((x - shiftX) / scale - 0.5) * 360,
      latitude: (y) => (Math.atan(Math.sinh((0.5 - (y - shiftY) / scale) * 2 * Math.PI)) * 180) / Math.PI,
    };
    view.bounds = L.latLngBounds([view.latitude(height), view.longitude(0)], [view.latitude(0), view.longitude(width)]);
    return view;
  }

  function paintRelief(context, view) {
    const small = document.createElement('canvas');
    Object.assign(small, { width: Math.round(view.width * RELIEF_PX), height: Math.round(view.height * RELIEF_PX) });
    const relief = small.getContext('2d');
    relief.fillStyle = '#ffffff';
    relief.fillRect(0, 0, small.width, small.height);
    relief.scale(RELIEF_PX, RELIEF_PX);
    let isThere = false;
    map.eachLayer((layer) => {
      if (!(layer instanceof L.ImageOverlay)) return;
      const [picture, bounds] = [layer.getElement(), layer.getBounds()];
      if (!picture || !picture.complete || picture.naturalWidth === 0) return;
      const [left, top] = [view.x(bounds.getWest()), view.y(bounds.getNorth())];
      relief.globalAlpha = RELIEF_STRENGTH * (layer.options.opacity ?? 1);
      relief.drawImage(picture, left, top, view.x(bounds.getEast()) - left, view.y(bounds.getSouth()) - top);
      isThere = true;
    });
    if (isThere) context.drawImage(small, 0, 0, view.width, view.height);
  }

  // A ring or a line, given by what its n-th vertex is.
  function traceLine(context, view, count, vertex) {
    let [beforeX, beforeY] = [Infinity, Infinity];
    for (let at = 0; at < count; at += 1) {
      const [latitude, longitude] = vertex(at);
      const [x, y] = [view.x(longitude), view.y(latitude)];
      if (at === 0) context.moveTo(x, y);
      else if (at === count - 1 || Math.abs(x - beforeX) + Math.abs(y - beforeY) >= LEAST_STEP_PX) context.lineTo(x, y);
      else continue;
      [beforeX, beforeY] = [x, y];
    }
  }

  function traceLatLngs(context, view, latlngs, isClosed) {
    if (latlngs.length === 0) return;
    if (Array.isArray(latlngs[0])) { latlngs.forEach((one) => traceLatLngs(context, view, one, isClosed)); return; }
    traceLine(context, view, latlngs.length, (at) => [latlngs[at].lat, latlngs[at].lng]);
    if (isClosed) context.closePath();
  }

  const dashes = (dash) => (Array.isArray(dash) ? dash : String(dash || '').split(/[ ,]+/).filter(Boolean)).map((length) => Number(length) * 0.7);

  // The lines of one path of Leaflet, a little finer than on the screen.
  function paintPath(context, view, layer) {
    const { options } = layer;
    const isArea = layer instanceof L.Polygon;
    context.save();
    context.beginPath();
    traceLatLngs(context, view, layer.getLatLngs(), isArea);
    if (isArea && options.fill && CSS.supports('color', options.fillColor || options.color)) {
      Object.assign(context, { globalAlpha: options.fillOpacity, fillStyle: options.fillColor || options.color });
      context.fill('evenodd');
    }
    if (options.stroke) {
      Object.assign(context, { globalAlpha: options.opacity, strokeStyle: options.color, lineWidth: options.weight * 0.7, lineJoin: 'round' });
      context.setLineDash(dashes(options.dashArray));
      context.stroke();
    }
    context.restore();
  }

  // Forbidden ground is crossed out, so that it is no road where there is no colour.
  const CROSSED = ['land_forbid'];

  function pathsOf(layer) {
    if (layer instanceof L.Polyline) return [layer];
    return layer instanceof L.LayerGroup ? layer.getLayers().flatMap(pathsOf) : [];
  }

  // Returns the base layers that have something in the frame, each with what its line looks like.
  function paintBase(context, view) {
    const drawn = new Map();
    for (const id of data.season.base_layers) {
      const layer = layers.base(id);
      if (layer === null || !map.hasLayer(layer)) continue;
      const paths = pathsOf(layer).filter((path) => view.bounds.intersects(path.getBounds()));
      for (const path of paths) {
        if (CROSSED.includes(id)) paintTexture(context, view, (inside) => traceLatLngs(inside, view, path.getLatLngs(), true), [45, -45], path.options.color, 9);
        paintPath(context, view, path);
      }
      if (paths.length > 0) drawn.set(id, paths[0].options);
    }
    return drawn;
  }

  // Parallel lines within a path.
  function paintTexture(context, view, trace, angles, colour, apart) {
    context.save();
    context.beginPath();
    trace(context);
    context.clip('evenodd');
    const reach = Math.hypot(view.width, view.height);
    Object.assign(context, { strokeStyle: colour, lineWidth: 0.9 });
    for (const angle of angles) {
      const [alongX, alongY] = [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
      context.beginPath();
      for (let off = -reach; off <= reach; off += apart) {
        const [x, y] = [view.width / 2 - alongY * off, view.height / 2 + alongX * off];
        context.moveTo(x - alongX * reach, y - alongY * reach);
        context.lineTo(x + alongX * reach, y + alongY * reach);
      }
      context.stroke();
    }
    context.restore();
  }

  seasonMap.paperMap = { viewOf };
});
