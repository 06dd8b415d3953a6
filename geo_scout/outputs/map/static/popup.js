'use strict';
// Where a card is shown: a popup on wide screens, a place above the list on narrow ones.
seasonMap.part(() => {
  const { element, words, state, layers, place, replace } = seasonMap;
  const { map } = layers;
  let popup = null;
  let comesBackTo = null;
  let isChanging = false;

  function showInPopup(position, card, lift) {
    const height = map.getSize().y;
    popup = L.popup({ maxWidth: 380, minWidth: 340, maxHeight: Math.max(220, height - 200), autoPanPaddingTopLeft: [16, 72], autoPanPaddingBottomRight: [72, 90], offset: [0, -lift] })
      .setLatLng(position)
      .setContent(card);
    popup.on('remove', () => { if (!isChanging) close(); });
    popup.openOn(map);
  }

  function showInPanel(card) {
    const button = element('button', { class: 'card-close', type: 'button' }, words.close);
    button.addEventListener('click', close);
    replace(place('card'), button, card);
    place('card').hidden = false;
    place('card').scrollIntoView({ block: 'start' });
  }

  // lift: how far above the position the popup's tip ends, to leave the symbol in sight [pixels]
  function show(position, card, lift) {
    const active = document.activeElement;
    if (active !== document.body && !active.closest('.card')) comesBackTo = active;
    clear();
    if (seasonMap.isNarrow() || position === null) showInPanel(card);
    else showInPopup(position, card, lift);
    const heading = card.querySelector('h2');
    heading.focus({ preventScroll: true });
    place('spoken').textContent = words.opened(heading.textContent);
  }

  // Takes the card away without telling anybody.
  function clear() {
    isChanging = true;
    if (popup) popup.remove();
    isChanging = false;
    popup = null;
    place('card').hidden = true;
    replace(place('card'));
  }

  function close() {
    const goBack = comesBackTo;
    comesBackTo = null;
    clear();
    if (state.siteId !== null) state.choose(null);
    if (goBack && goBack.isConnected && goBack !== document.body) goBack.focus({ preventScroll: !seasonMap.isNarrow() });
  }

  state.on('chosen', (siteId) => {
    if (siteId === null) { clear(); return; }
    const site = state.site(siteId);
    show(site.latitude_deg === null ? null : L.latLng(site.latitude_deg, site.longitude_deg), seasonMap.siteCard(site), site.group === 'ranked' ? 28 : 4);
  });
  document.addEventListener('keydown', (event) => { if (event.key === 'Escape') close(); });

  seasonMap.popup = {
    showRecord: (position, card) => {
      if (state.siteId !== null) state.choose(null);
      show(position, card, 4);
    },
  };
});
