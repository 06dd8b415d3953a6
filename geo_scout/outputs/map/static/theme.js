'use strict';
// Light or dark: as the device prefers, until the reader says otherwise.
seasonMap.part(() => {
  const { element, words, place, device } = seasonMap;
  const root = document.documentElement;
  const prefersDark = window.matchMedia('(prefers-color-scheme: dark)');
  const button = element('button', { type: 'button', class: 'plain-button', id: 'theme' });

  const said = () => (device ? device.read('theme') : null);

  function apply() {
    const theme = said() || (prefersDark.matches ? 'dark' : 'light');
    root.dataset.theme = theme;
    button.textContent = words.themes[theme === 'dark' ? 'light' : 'dark'];
  }

  let byHand = null;
  button.addEventListener('click', () => {
    byHand = root.dataset.theme === 'dark' ? 'light' : 'dark';
    if (device) device.write('theme', byHand);
    root.dataset.theme = byHand;
    button.textContent = words.themes[byHand === 'dark' ? 'light' : 'dark'];
  });
  prefersDark.addEventListener('change', () => { if (byHand === null) apply(); });
  apply();
  place('page-tools').append(button);
});
