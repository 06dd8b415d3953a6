'use strict';
// Where a card is shown: over the map's left side on wide screens, above the list on narrow ones.
seasonMap.part(() => {
  const { element, words, state, layers, place, replace } = seasonMap;
  const { map } = layers;
  const CARD_PX = 404; // its width and the gap beside it
  const EDGE_PX = 60; // how near to the frame a symbol may stand
  const box = place('card');
  const narrow = window.matchMedia('(max-width: 759px)');
  let comesBackTo = null;

  function settle() {
    const home = narrow.matches ? place('card-home') : map.getContainer().parentElement;
    if (box.parentElement !== home) home.append(box);
  }
  narrow.addEventListener('change', settle);
  settle();

  // Moves the map no more than it takes to see what the card is about.
  function bringIntoSight(position) {
    if (position === null || narrow.matches) return;
    const { x: width, y: height } = map.getSize();
    const at = map.latLngToContainerPoint(position);
    const left = Math.min(CARD_PX + EDGE_PX, width - EDGE_PX);
    const across = Math.min(at.x - left, 0) || Math.max(at.x - (width - EDGE_PX - 40), 0);
    const down = Math.min(at.y - EDGE_PX, 0) || Math.max(at.y - (height - EDGE_PX), 0);
    if (across !== 0 || down !== 0) map.panBy([across, down], { animate: false });
  }

  function show(position, card) {
    const active = document.activeElement;
    if (active !== document.body && !active.closest('.card-place')) comesBackTo = active;
    const button = element('button', { class: 'card-close', type: 'button' }, words.close);
    button.addEventListener('click', close);
    replace(box, button, card);
    box.hidden = false;
    box.scrollTop = 0;
    bringIntoSight(position);
    if (narrow.matches) box.scrollIntoView({ block: 'start' });
    const heading = card.querySelector('h2');
    heading.focus({ preventScroll: true });
    seasonMap.say(words.opened(heading.textContent));
  }

  // Takes the card away without telling anybody.
  function clear() {
    box.hidden = true;
    replace(box);
  }

  function close() {
    const goBack = comesBackTo;
    comesBackTo = null;
    clear();
    if (state.siteId !== null) state.choose(null);
    if (goBack && goBack.isConnected && goBack !== document.body) goBack.focus({ preventScroll: !narrow.matches });
  }

  state.on('chosen', (siteId) => {
    if (siteId === null) { clear(); return; }
    const site = state.site(siteId);
    show(site.latitude_deg === null ? null : L.latLng(site.latitude_deg, site.longitude_deg), seasonMap.siteCard(site));
  });

  // Other weights give an open card other figures; it stays where it is.
  function refresh() {
    const old = box.querySelector('.site-card');
    if (state.siteId === null || !old) return;
    const top = box.scrollTop;
    old.replaceWith(seasonMap.siteCard(state.site(state.siteId)));
    box.scrollTop = top;
  }
  state.on('order', refresh);
  state.on('season', refresh);

  // Escape closes the card, unless somebody nearer to the key has used it.
  document.addEventListener('keydown', (event) => { if (event.key === 'Escape' && !event.defaultPrevented) close(); });

  seasonMap.cardPlace = {
    showRecord: (position, card) => {
      if (state.siteId !== null) state.choose(null);
      show(position, card);
    },
    close,
  };
});
