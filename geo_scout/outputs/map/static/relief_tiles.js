'use strict';
// The relief as tiles over its one picture, where the map is brought so near that the picture is coarse.
seasonMap.part(() => {
  const { data, element, layers } = seasonMap;
  const { map } = layers;
  const tiles = data.season.relief_tiles;
  const picture = window.image_overlay_relief;
  if (!tiles || !picture) return;

  // A browser decodes a picture when it is shown, and only tiles in view are made.
  const Tiles = L.GridLayer.extend({
    createTile({ x, y, z }) {
      const text = tiles.pictures[`${z}/${x}/${y}`];
      return text === undefined
        ? element('div', { class: 'relief-image' })
        : element('img', { class: 'relief-image', alt: '', src: `data:image/webp;base64,${text}` });
    },
  });

  const layer = new Tiles({
    pane: 'overlayPane', // over the picture, under the lines
    zIndex: 2,
    bounds: picture.getBounds(),
    minZoom: tiles.least_zoom - 0.5, // tiles serve half a zoom to either side
    minNativeZoom: tiles.least_zoom,
    maxNativeZoom: tiles.most_zoom,
    keepBuffer: 1,
    noWrap: true, // beyond 180 degrees columns go on, as the season's tiles do
  });

  // One entry of the layer switch stands for both.
  const follow = () => (map.hasLayer(picture) ? layer.addTo(map) : layer.remove());
  map.on('overlayadd overlayremove', follow);
  follow();
});
