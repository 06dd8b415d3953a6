'use strict';
// One canvas that draws the patches of a large season, each in the colours of its class.
seasonMap.part(() => {
  const DOT_PX = 4; // smaller patches are drawn as squares of this size
  const OUTLINE_FROM_PX = 14; // smaller patches have no outline
  const HOLLOW_FROM_PX = 8; // hollow ones are seen by their outline alone: smaller ones are hollow squares
  const HIDDEN = 255;
  const PATTERN_PX = 64; // patterns that repeat within this many pixels stay on their ground while the map is moved

  const SMALL_STEPS = 5000; // of 1e-5 degrees: so near, three terms of the series are right to a few centimetres

  const dotBelowPx = (look) => (look.isHollow ? HOLLOW_FROM_PX : DOT_PX);
  const easting = (longitude) => longitude / 360 + 0.5;
  const northing = (latitude) => 0.5 - Math.asinh(Math.tan((latitude * Math.PI) / 180)) / (2 * Math.PI);

  // Southing of many latitudes near to the first one, which alone is worked out in full.
  function southings(latitude, south, first, last) {
    const at = (latitude[first] / 1e5) * (Math.PI / 180);
    const slope = -1 / (2 * Math.PI * Math.cos(at));
    const bend = (slope * Math.tan(at)) / 2;
    const middle = northing(latitude[first] / 1e5);
    for (let vertex = first; vertex < last; vertex += 1) {
      const steps = latitude[vertex] - latitude[first];
      if (steps > SMALL_STEPS || steps < -SMALL_STEPS) south[vertex] = northing(latitude[vertex] / 1e5);
      else {
        const angle = steps * (Math.PI / 1.8e7);
        south[vertex] = middle + angle * (slope + angle * bend);
      }
    }
  }

  const firstVertex = ({ polygonStart, ringStart, vertexStart }, patch) => vertexStart[ringStart[polygonStart[patch]]];

  // The box of every patch in Web Mercator from 0 to 1: west, north, east, south. A patch without outline is nowhere.
  function boxesOf(outlines) {
    const { longitude, latitude, count } = outlines;
    const boxes = new Float64Array(4 * count).fill(Infinity);
    for (let patch = 0; patch < count; patch += 1) {
      const first = firstVertex(outlines, patch);
      const last = firstVertex(outlines, patch + 1);
      if (first === last) continue;
      let west = longitude[first];
      let east = west;
      let south = latitude[first];
      let north = south;
      for (let at = first + 1; at < last; at += 1) {
        if (longitude[at] < west) west = longitude[at];
        else if (longitude[at] > east) east = longitude[at];
        if (latitude[at] < south) south = latitude[at];
        else if (latitude[at] > north) north = latitude[at];
      }
      boxes[4 * patch] = easting(west / 1e5);
      boxes[4 * patch + 1] = northing(north / 1e5);
      boxes[4 * patch + 2] = easting(east / 1e5);
      boxes[4 * patch + 3] = northing(south / 1e5);
    }
    return boxes;
  }

  // From afar most patches are dots, for which the box is enough: vertices are placed when first asked for.
  function shapesOf(outlines) {
    const places = () => new Float64Array(outlines.longitude.length);
    return { ...outlines, boxes: boxesOf(outlines), east: places(), south: places(), isPlaced: new Uint8Array(outlines.count) };
  }

  function placeVertices(shapes, patch) {
    if (shapes.isPlaced[patch]) return;
    const { longitude, latitude, east, south } = shapes;
    const first = firstVertex(shapes, patch);
    const last = firstVertex(shapes, patch + 1);
    for (let at = first; at < last; at += 1) east[at] = longitude[at] / 3.6e7 + 0.5;
    southings(latitude, south, first, last);
    shapes.isPlaced[patch] = 1;
  }

  // A canvas rounds what it is given to seven digits, so everything is drawn from the corner of the view.
  function trace(context, shapes, patch, { scale, left, top }) {
    const { east, south, polygonStart, ringStart, vertexStart } = shapes;
    placeVertices(shapes, patch);
    context.beginPath();
    for (let ring = ringStart[polygonStart[patch]]; ring < ringStart[polygonStart[patch + 1]]; ring += 1) {
      const last = vertexStart[ring + 1];
      let at = vertexStart[ring];
      context.moveTo(east[at] * scale - left, south[at] * scale - top);
      for (at += 1; at < last; at += 1) context.lineTo(east[at] * scale - left, south[at] * scale - top);
      context.closePath();
    }
  }

  // Whether a point lies inside, holes left out: a line to the east crosses the rings an odd number of times.
  function contains(shapes, patch, x, y) {
    const { east, south, polygonStart, ringStart, vertexStart } = shapes;
    placeVertices(shapes, patch);
    let isInside = false;
    for (let ring = ringStart[polygonStart[patch]]; ring < ringStart[polygonStart[patch + 1]]; ring += 1) {
      let before = vertexStart[ring + 1] - 1;
      for (let at = vertexStart[ring]; at < vertexStart[ring + 1]; at += 1) {
        const spans = (south[at] > y) !== (south[before] > y);
        if (spans && x < ((east[before] - east[at]) * (y - south[at])) / (south[before] - south[at]) + east[at]) isInside = !isInside;
        before = at;
      }
    }
    return isInside;
  }

  // Leaflet's renderer keeps the canvas in its place while the map is moved and zoomed.
  const BulkLayer = L.Renderer.extend({
    options: { pane: 'patches', padding: 0.2 },

    // classes: what each patch looks like, a number per patch, 255 for none; looks: by that number, drawn in turn
    initialize(outlines, looks) {
      L.Renderer.prototype.initialize.call(this, {});
      this.shapes = shapesOf(outlines);
      this.looks = looks;
      this.classes = new Uint8Array(outlines.count).fill(HIDDEN);
    },

    // Below whatever else the pane holds, such as what marks a patch.
    onAdd(map) {
      L.Renderer.prototype.onAdd.call(this, map);
      this.getPane().prepend(this._container);
    },

    // While the map is zoomed the picture stays as it is: it is drawn anew at the end.
    setClasses(classes) {
      this.classes = classes;
      if (this._map && this._bounds && this._map.getZoom() === this._zoom) this._draw();
      return this;
    },

    // The patch on top at a place, or -1. Small ones are as large as they are drawn.
    patchAt(latlng) {
      const scale = 256 * 2 ** this._map.getZoom();
      const [x, y] = [easting(latlng.lng), northing(latlng.lat)];
      const reach = DOT_PX / 2 / scale;
      const { boxes } = this.shapes;
      let [found, height] = [-1, -1];
      for (let patch = 0; patch < this.classes.length; patch += 1) {
        const at = 4 * patch;
        if (this.classes[patch] === HIDDEN || x < boxes[at] - reach || x > boxes[at + 2] + reach || y < boxes[at + 1] - reach || y > boxes[at + 3] + reach) continue;
        const isDot = this._sizePx(at, scale) < dotBelowPx(this.looks[this.classes[patch]]);
        if (!isDot && !contains(this.shapes, patch, x, y)) continue;
        // Drawn in turn: class by class, and in each the dots last.
        const here = 2 * this.classes[patch] + (isDot ? 1 : 0);
        if (here >= height) [found, height] = [patch, here];
      }
      return found;
    },

    _sizePx(at, scale) {
      const { boxes } = this.shapes;
      return Math.max(boxes[at + 2] - boxes[at], boxes[at + 3] - boxes[at + 1]) * scale;
    },

    _updatePaths() {},

    // The map has told of its move already: to draw again would take time, and set the canvas between two pixels.
    _reset() {},

    _initContainer() {
      this._container = document.createElement('canvas');
      this._container.className = 'bulk-patches';
      this._context = this._container.getContext('2d');
    },

    _destroyContainer() {
      this._container.remove();
      delete this._container;
      delete this._context;
    },

    _update() {
      if (this._map._animatingZoom && this._bounds) return;
      L.Renderer.prototype._update.call(this);
      this._draw();
    },

    _draw() {
      const { min, max } = this._bounds;
      const [width, height] = [max.x - min.x, max.y - min.y];
      const ratio = Math.min(2, window.devicePixelRatio || 1);
      const context = this._context;
      L.DomUtil.setPosition(this._container, min);
      Object.assign(this._container, { width: Math.round(width * ratio), height: Math.round(height * ratio) });
      Object.assign(this._container.style, { width: `${width}px`, height: `${height}px` });
      const origin = this._map.getPixelOrigin();
      const scale = 256 * 2 ** this._map.getZoom();
      const [west, north] = [min.x + origin.x, min.y + origin.y];
      const corner = { scale, left: Math.floor(west / PATTERN_PX) * PATTERN_PX, top: Math.floor(north / PATTERN_PX) * PATTERN_PX };
      context.setTransform(ratio, 0, 0, ratio, (corner.left - west) * ratio, (corner.top - north) * ratio);
      const seen = this._inView([west / scale, north / scale, (max.x + origin.x) / scale, (max.y + origin.y) / scale]);
      this.looks.forEach((look, number) => this._drawClass(context, look, seen[number], corner));
      if (!this.isDrawn) performance.mark('patches-drawn'); // for whoever measures how soon a map is seen
      this.isDrawn = true;
    },

    // The patches in view, by class.
    _inView([left, top, right, bottom]) {
      const { boxes } = this.shapes;
      const seen = this.looks.map(() => []);
      for (let patch = 0; patch < this.classes.length; patch += 1) {
        const at = 4 * patch;
        if (this.classes[patch] === HIDDEN || boxes[at] > right || boxes[at + 2] < left || boxes[at + 1] > bottom || boxes[at + 3] < top) continue;
        seen[this.classes[patch]].push(patch);
      }
      return seen;
    },

    _drawClass(context, look, patches, corner) {
      const dots = [];
      const outlineFromPx = look.isHollow ? HOLLOW_FROM_PX : OUTLINE_FROM_PX;
      Object.assign(context, { globalAlpha: 1, fillStyle: look.fill, strokeStyle: look.stroke, lineWidth: look.width });
      context.setLineDash(look.dash || []);
      for (const patch of patches) {
        const sizePx = this._sizePx(4 * patch, corner.scale);
        if (sizePx < dotBelowPx(look)) {
          dots.push(patch);
          continue;
        }
        trace(context, this.shapes, patch, corner);
        context.fill('evenodd');
        if (sizePx >= outlineFromPx) context.stroke();
      }
      context.setLineDash([]); // dashes do not show on a dot, and take ten times as long
      for (const patch of dots) this._drawDot(context, look, 4 * patch, corner);
    },

    _drawDot(context, look, at, { scale, left, top }) {
      const { boxes } = this.shapes;
      const size = Math.max(DOT_PX, this._sizePx(at, scale));
      const x = ((boxes[at] + boxes[at + 2]) / 2) * scale - left - size / 2;
      const y = ((boxes[at + 1] + boxes[at + 3]) / 2) * scale - top - size / 2;
      if (look.isHollow) context.strokeRect(x + 0.5, y + 0.5, size - 1, size - 1);
      else context.fillRect(x, y, size, size);
    },
  });

  seasonMap.bulkLayer = (outlines, looks) => new BulkLayer(outlines, looks);
  seasonMap.bulkLayer.HIDDEN = HIDDEN;
});
