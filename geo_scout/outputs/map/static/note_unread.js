'use strict';
// Says which stored notes this page cannot read, and saves them as they are.
seasonMap.part(() => {
  const { element, words, fieldNotes, noteStore, plainButton, replace } = seasonMap;
  const told = element('p', { class: 'trouble', role: 'alert' });
  const buttons = element('div', { class: 'button-row' });

  const save = (text, number) => () => seasonMap.offer(`unread_notes_${fieldNotes.today()}_${number}.txt`, 'text/plain;charset=utf-8', text);

  function refresh() {
    const [aside, unmoved, items] = [noteStore.allAside(), noteStore.unmoved(), fieldNotes.unknown()];
    const sentences = [
      aside.length > 0 ? words.notesUnread.whole : '', unmoved === null ? '' : words.notesUnread.unmoved,
      items.length > 0 ? words.notesUnread.some(items.length) : '',
    ];
    const text = sentences.filter(Boolean).join(' ');
    if (told.textContent !== text) told.textContent = text; // an alert that is written anew is read out anew
    const texts = [...aside, unmoved, items.length > 0 ? JSON.stringify(items, null, 1) : null].filter((one) => one !== null);
    replace(buttons, ...texts.map((one, index) => plainButton(words.saveUnread(index + 1, texts.length), save(one, index + 1))));
    buttons.hidden = texts.length === 0;
  }

  fieldNotes.on(refresh);
  refresh();

  seasonMap.noteUnread = { nodes: [told, buttons] };
});
