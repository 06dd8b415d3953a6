'use strict';
// The words of the page's own frame.
seasonMap.part(() => {
  const { words, place, layers } = seasonMap;
  place('skip').textContent = words.skip;
  place('card').setAttribute('aria-label', words.cardLabel);
  layers.map.getContainer().setAttribute('aria-label', words.mapLabel);
});
