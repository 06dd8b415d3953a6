'use strict';
// Everything has been told what to do; begin as soon as the data is read.
seasonMap.part(() => {
  const { layers, state } = seasonMap;
  layers.addFurniture();
  state.show(0, 'release');
  layers.map.invalidateSize({ animate: false });
  layers.frameSites();
  layers.map.setMinZoom(Math.max(3, Math.floor(layers.map.getZoom()) - 2));
  state.tell('begun');
  document.documentElement.dataset.ready = 'yes';
});

seasonMap.readData(seasonMap.begin);
