'use strict';
// One canvas that draws the patches of a large season, each in the colours of its class.
seasonMap.part(() => {
  const DOT_PX = 4; // smaller patches are drawn as squares of this size
  const OUTLINE_FROM_PX = 14; // smaller patches have no outline
  const HIDDEN = 255;
  const PATTERN_PX = 64; // patterns that repeat within this many pixels stay on their ground while the map is moved

  const northing = (latitude) => 0.5 - Math.asinh(Math.tan((latitude * Math.PI) / 180)) / (2 * Math.PI);

  const SMALL_STEPS = 5000; // of 1e-5 degrees: so near, three terms of the series are right to a few centimetres

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

  // Web Mercator from 0 to 1, east and south, with the box of every patch.
  function projected(outlines) {
    const { longitude, latitude, polygonStart, ringStart, vertexStart, count } = outlines;
    const [east, south] = [new Float64Array(longitude.length), new Float64Array(latitude.length)];
    for (let at = 0; at < longitude.length; at += 1) east[at] = longitude[at] / 3.6e7 + 0.5;
    for (let ring = 0; ring + 1 < vertexStart.length; ring += 1) southings(latitude, south, vertexStart[ring], vertexStart[ring + 1]);
    const boxes = new Float64Array(4 * count);
    for (let patch = 0; patch < count; patch += 1) {
      let [left, top, right, bottom] = [Infinity, Infinity, -Infinity, -Infinity];
      const last = vertexStart[ringStart[polygonStart[patch + 1]]];
      for (let at = vertexStart[ringStart[polygonStart[patch]]]; at < last; at += 1) {
        if (east[at] < left) left = east[at];
        if (east[at] > right) right = east[at];
        if (south[at] < top) top = south[at];
        if (south[at] > bottom) bottom = south[at];
      }
      boxes[4 * patch] = left;
      boxes[4 * patch + 1] = top;
      boxes[4 * patch + 2] = right;
      boxes[4 * patch + 3] = bottom;
    }
    return { ...outlines, east, south, boxes };
  }

  // A canvas rounds what it is given to seven digits, so everything is drawn from the corner of the view.
  function trace(context, shapes, patch, { scale, left, top }) {
    const { east, south, polygonStart, ringStart, vertexStart } = shapes;
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
      this.shapes = projected(outlines);
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
      if (this._map && this._bounds && this._map.getZoom() === this._zoom && !this._map._animatingZoom) this._draw();
      return this;
    },

    // The patch on top at a place, or -1. Small ones are as large as they are drawn.
    patchAt(latlng) {
      const scale = 256 * 2 ** this._map.getZoom();
      const [x, y] = [latlng.lng / 360 + 0.5, northing(latlng.lat)];
      const reach = DOT_PX / 2 / scale;
      const { boxes } = this.shapes;
      let found = -1;
      for (let patch = 0; patch < this.classes.length; patch += 1) {
        const at = 4 * patch;
        if (this.classes[patch] === HIDDEN || x < boxes[at] - reach || x > boxes[at + 2] + reach || y < boxes[at + 1] - reach || y > boxes[at + 3] + reach) continue;
        const isDot = Math.max(boxes[at + 2] - boxes[at], boxes[at + 3] - boxes[at + 1]) * scale < DOT_PX;
        if (!isDot && !contains(this.shapes, patch, x, y)) continue;
        if (found < 0 || this.classes[patch] >= this.classes[found]) found = patch;
      }
      return found;
    },

    _updatePaths() {},

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
      const { boxes } = this.shapes;
      const { scale } = corner;
      const dots = [];
      Object.assign(context, { globalAlpha: 1, fillStyle: look.fill, strokeStyle: look.stroke, lineWidth: look.width });
      context.setLineDash(look.dash || []);
      for (const patch of patches) {
        const at = 4 * patch;
        const size = Math.max(boxes[at + 2] - boxes[at], boxes[at + 3] - boxes[at + 1]) * scale;
        if (size < DOT_PX) {
          dots.push(patch);
          continue;
        }
        trace(context, this.shapes, patch, corner);
        context.fill('evenodd');
        if (size >= OUTLINE_FROM_PX) context.stroke();
      }
      context.setLineDash([]); // dashes do not show on a dot, and take ten times as long
      for (const patch of dots) this._drawDot(context, look, 4 * patch, corner);
    },

    _drawDot(context, look, at, { scale, left, top }) {
      const { boxes } = this.shapes;
      const x = ((boxes[at] + boxes[at + 2]) / 2) * scale - left - DOT_PX / 2;
      const y = ((boxes[at + 1] + boxes[at + 3]) / 2) * scale - top - DOT_PX / 2;
      if (look.isHollow) context.strokeRect(x + 0.5, y + 0.5, DOT_PX - 1, DOT_PX - 1);
      else context.fillRect(x, y, DOT_PX, DOT_PX);
    },
  });

  seasonMap.bulkLayer = (outlines, looks) => new BulkLayer(outlines, looks);
  seasonMap.bulkLayer.HIDDEN = HIDDEN;
});
