'use strict';
// Paints the relief for the printed map from the pictures the browser has decoded for the screen.
seasonMap.part(() => {
  const { map } = seasonMap.layers;
  const RELIEF_PX = 1.5; // per CSS pixel; most of the file's size is the relief

  const isReady = (image) => image instanceof HTMLImageElement && image.complete && image.naturalWidth > 0;

  // Tiles of the zoom in view lie over the one picture. Leaflet has no public way to them.
  function pictures() {
    const [whole, tiles] = [[], []];
    map.eachLayer((layer) => {
      if (layer instanceof L.ImageOverlay) whole.push({ image: layer.getElement(), bounds: layer.getBounds(), opacity: layer.options.opacity });
      if (!(layer instanceof L.GridLayer)) return;
      for (const { el, coords, current } of Object.values(layer._tiles)) {
        if (current) tiles.push({ image: el, bounds: layer._tileCoordsToBounds(coords), opacity: layer.options.opacity });
      }
    });
    return [...whole, ...tiles].filter(({ image }) => isReady(image));
  }

  // Edges on whole pixels, so that tiles meet without a seam.
  function paint(context, view, { image, bounds, opacity }) {
    const [left, right] = [bounds.getWest(), bounds.getEast()].map((longitude) => Math.round(view.x(longitude) * RELIEF_PX));
    const [top, bottom] = [bounds.getNorth(), bounds.getSouth()].map((latitude) => Math.round(view.y(latitude) * RELIEF_PX));
    context.globalAlpha = opacity;
    context.drawImage(image, left, top, right - left, bottom - top);
  }

  // By way of a canvas of its own, or Chromium would put the pictures into the file as large as they are.
  seasonMap.paperRelief = (context, view) => {
    const found = pictures();
    if (found.length === 0) return;
    const canvas = document.createElement('canvas');
    Object.assign(canvas, { width: Math.round(view.width * RELIEF_PX), height: Math.round(view.height * RELIEF_PX) });
    const relief = canvas.getContext('2d');
    for (const picture of found) paint(relief, view, picture);
    context.drawImage(canvas, 0, 0, view.width, view.height);
  };
});
