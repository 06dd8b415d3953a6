'use strict';
// What is kept on this device under the season's own name; where nothing can be kept, it is held while the page is open.
seasonMap.part(() => {
  const PREFIX = `geo_scout:${seasonMap.raw.dataset}:`;
  const held = new Map(); // what could not be kept, as text
  const listeners = [];
  let isKept = true;

  // Browsers may refuse storage when it is first touched, and when it is full.
  function tryStorage(act, otherwise) {
    try {
      return act(window.localStorage);
    } catch {
      return otherwise;
    }
  }

  const canKeep = tryStorage((storage) => {
    storage.setItem(`${PREFIX}trial`, '1');
    storage.removeItem(`${PREFIX}trial`);
    return true;
  }, false);
  isKept = canKeep;

  // The text as it is stored, null where there is none.
  const stored = (key) => tryStorage((storage) => storage.getItem(PREFIX + key), null);
  const text = (key) => held.get(key) ?? stored(key);

  // Other pages can write here too, so what is found may be anything.
  const read = (key) => tryStorage(() => JSON.parse(text(key)), null);

  const storeText = (key, given) => canKeep && tryStorage((storage) => {
    storage.setItem(PREFIX + key, given);
    return true;
  }, false);

  // Held while the page is open, whatever is stored under that key.
  function hold(key, value) {
    held.set(key, JSON.stringify(value));
    isKept = false;
  }

  function write(key, value) {
    const isWritten = storeText(key, JSON.stringify(value));
    if (!isWritten) {
      hold(key, value);
      return false;
    }
    held.delete(key);
    isKept = canKeep && held.size === 0;
    return true;
  }

  // The same map in another window of this browser has written.
  window.addEventListener('storage', (event) => {
    if (event.key === null || event.key.startsWith(PREFIX)) listeners.forEach((listener) => listener());
  });

  seasonMap.device = {
    get isKept() { return isKept; },
    stored,
    text,
    read,
    storeText,
    hold,
    write,
    onElsewhere: (listener) => listeners.push(listener),
  };
});
