'use strict';
// Everything has been told what to do; begin.
(() => {
  const { layers, state } = seasonMap;
  layers.addFurniture();
  state.show(0, 'release');
  layers.map.invalidateSize({ animate: false });
  layers.frameSites();
  layers.map.setMinZoom(Math.max(3, Math.floor(layers.map.getZoom()) - 2));
})();
