'use strict';
// A button that copies a text; where the clipboard is refused, the text stands selected to be copied by hand.
seasonMap.part(() => {
  const { element, words } = seasonMap;
  const SHOWN_MS = 2500;

  async function copied(text) {
    try {
      await navigator.clipboard.writeText(text);
      return true;
    } catch {
      return false;
    }
  }

  // read: returns the text when the button is pressed. label: what the text is.
  seasonMap.copyButton = (read, label) => {
    const byHand = element('textarea', { class: 'copy-by-hand', readonly: true, rows: 2, 'aria-label': words.copyByHand });
    const told = element('span', { class: 'copy-told' });
    const button = element('button', { type: 'button', class: 'plain-button copy-button', 'aria-label': words.copyOf(label) }, words.copy);
    const node = element('span', { class: 'copy' }, button, told);
    let timer = 0;

    function tell(text) {
      told.textContent = text;
      seasonMap.say(text);
      clearTimeout(timer);
      timer = setTimeout(() => { told.textContent = ''; }, SHOWN_MS);
    }

    button.addEventListener('click', async () => {
      const text = read();
      if (await copied(text)) {
        byHand.remove();
        tell(words.copied);
        return;
      }
      byHand.value = text;
      node.append(byHand);
      byHand.focus();
      byHand.select();
      clearTimeout(timer);
      told.textContent = words.copyByHand;
    });
    return node;
  };
});
