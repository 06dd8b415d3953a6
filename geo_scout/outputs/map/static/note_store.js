'use strict';
// The notes as they are stored. Nothing that this page cannot read is ever written over: it is put aside first.
seasonMap.part(() => {
  const { device } = seasonMap;
  const PLACE = 'notes';
  const aside = (number) => `notes_unread_${number}`;

  // null where the text holds no list.
  function listIn(text) {
    try {
      const found = JSON.parse(text);
      return Array.isArray(found) ? found : null;
    } catch {
      return null;
    }
  }

  const isUnread = (text) => text !== null && text.trim() !== '' && listIn(text) === null;

  function allAside() {
    const texts = [];
    for (let text = device.stored(aside(1)); text !== null; text = device.stored(aside(texts.length + 1))) texts.push(text);
    return texts;
  }

  // What is stored, cannot be read, and is put aside nowhere; null where there is no such text.
  function unmoved() {
    const text = device.stored(PLACE);
    return isUnread(text) && !allAside().includes(text) ? text : null;
  }

  // Whether the place of the notes may be written over; another window may have damaged it a moment ago.
  function isFree() {
    const text = unmoved();
    return text === null || device.storeText(aside(allAside().length + 1), text);
  }

  function write(items) {
    if (isFree()) device.write(PLACE, items); else device.hold(PLACE, items);
  }

  isFree();
  device.onElsewhere(isFree);

  seasonMap.noteStore = { items: () => listIn(device.text(PLACE) ?? '') ?? [], write, allAside, unmoved };
});
