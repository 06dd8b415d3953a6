'use strict';
// Where a place on the ground comes to lie on the printed map.
seasonMap.part(() => {
  const { data, state, geodesy, layers } = seasonMap;
  const { map } = layers;
  const EDGE_SHARE = 0.03; // kept free around what there is to see

  const east = (longitude) => longitude / 360 + 0.5;
  const south = (latitude) => 0.5 - Math.asinh(Math.tan((latitude * Math.PI) / 180)) / (2 * Math.PI);

  // The outlines' extent, packed or not.
  function patchBounds() {
    const bounds = L.latLngBounds([]);
    const patches = data.patchesOf(state.agentIndex);
    if (patches === null) return bounds;
    const { polygons } = patches;
    const [longitudes, latitudes] = polygons.polygonStart
      ? [polygons.longitude, polygons.latitude].map((steps) => steps.reduce(([low, high], step) => [Math.min(low, step), Math.max(high, step)], [Infinity, -Infinity]).map((step) => step / 1e5))
      : [0, 1].map((side) => polygons.flat(2).reduce(([low, high], ring) => {
        const numbers = ring.filter((_, at) => at % 2 === side);
        return [Math.min(low, ...numbers), Math.max(high, ...numbers)];
      }, [Infinity, -Infinity]));
    if (longitudes[0] <= longitudes[1]) bounds.extend([latitudes[0], longitudes[0]]).extend([latitudes[1], longitudes[1]]);
    return bounds;
  }

  // What the map shows now, without the empty ground around everything there is.
  function seenBounds() {
    const shown = map.getBounds();
    const full = patchBounds();
    map.eachLayer((layer) => { if (layer instanceof L.ImageOverlay || layer instanceof L.GeoJSON) full.extend(layer.getBounds()); });
    for (const crew of data.crews) full.extend([crew.latitude_deg, crew.longitude_deg]);
    if (!full.isValid() || !full.intersects(shown)) return shown;
    const wide = full.pad(EDGE_SHARE);
    return L.latLngBounds(
      [Math.max(shown.getSouth(), wide.getSouth()), Math.max(shown.getWest(), wide.getWest())],
      [Math.min(shown.getNorth(), wide.getNorth()), Math.min(shown.getEast(), wide.getEast())]);
  }

  function extent() {
    const bounds = seenBounds();
    return { left: east(bounds.getWest()), right: east(bounds.getEast()), top: south(bounds.getNorth()), bottom: south(bounds.getSouth()) };
  }

  // The extent, whole, in the middle of a picture (whole CSS pixels). Papers differ in size: what is at least `bleed` away from the
  // picture's edges is printed on each of them, and nothing that must be read lies beyond.
  function viewOf(safeWidth, safeHeight, bleed) {
    const { left, right, top, bottom } = extent();
    const [width, height] = [safeWidth + 2 * bleed, safeHeight + 2 * bleed];
    const scale = Math.min(safeWidth / (right - left), safeHeight / (bottom - top));
    const [shiftX, shiftY] = [width / 2 - ((left + right) / 2) * scale, height / 2 - ((top + bottom) / 2) * scale];
    const view = {
      width, height,
      safe: { left: bleed, top: bleed, right: width - bleed, bottom: height - bleed },
      x: (longitude) => east(longitude) * scale + shiftX,
      y: (latitude) => south(latitude) * scale + shiftY,
      longitude: (x) => ((x - shiftX) / scale - 0.5) * 360,
      latitude: (y) => (Math.atan(Math.sinh((0.5 - (y - shiftY) / scale) * 2 * Math.PI)) * 180) / Math.PI,
    };
    view.bounds = L.latLngBounds([view.latitude(height), view.longitude(0)], [view.latitude(0), view.longitude(width)]);
    view.at = (place) => [view.x(place.longitude_deg), view.y(place.latitude_deg)];
    view.isSafe = ([x, y]) => x >= view.safe.left && x <= view.safe.right && y >= view.safe.top && y <= view.safe.bottom;
    // Ground metres per CSS pixel along a row of the picture.
    view.metresPerPixel = (y) => {
      const place = (x) => ({ latitude_deg: view.latitude(y), longitude_deg: view.longitude(x) });
      return geodesy.inverse(place(width / 2 - 5), place(width / 2 + 5)).distance_m / 10;
    };
    return view;
  }

  seasonMap.paperView = {
    of: viewOf,
    // How wide the extent is for its height.
    shape() {
      const { left, right, top, bottom } = extent();
      return (right - left) / (bottom - top);
    },
  };
});
