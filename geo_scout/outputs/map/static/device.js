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

  // Other pages can write here too, so what is found may be anything.
  function read(key) {
    if (held.has(key)) return JSON.parse(held.get(key));
    return tryStorage((storage) => JSON.parse(storage.getItem(PREFIX + key)), null);
  }

  function write(key, value) {
    const text = JSON.stringify(value);
    const isWritten = canKeep && tryStorage((storage) => {
      storage.setItem(PREFIX + key, text);
      return true;
    }, false);
    if (isWritten) held.delete(key); else held.set(key, text);
    isKept = canKeep && held.size === 0;
    return isWritten;
  }

  // The same map in another window of this browser has written.
  window.addEventListener('storage', (event) => {
    if (event.key === null || event.key.startsWith(PREFIX)) listeners.forEach((listener) => listener());
  });

  seasonMap.device = {
    get isKept() { return isKept; },
    read,
    write,
    onElsewhere: (listener) => listeners.push(listener),
  };
});
