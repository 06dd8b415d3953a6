'use strict';
// Everything has been told what to do; begin as soon as the data is read.
seasonMap.part(() => {
  const { layers, state, data } = seasonMap;

  function frame() {
    layers.map.invalidateSize({ animate: false });
    layers.frameSites();
    layers.map.setMinZoom(Math.max(3, Math.floor(layers.map.getZoom()) - 2));
  }

  function showAll() {
    state.show(0, 'release');
    frame();
    state.tell('begun');
    document.documentElement.dataset.ready = 'yes';
  }

  layers.addFurniture();
  if (data.season.is_large) {
    // The patches of a large season are seen before the panel is made.
    frame();
    seasonMap.drawManyPatches();
    requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(showAll)));
  } else showAll();
});

seasonMap.readData(seasonMap.begin);
