'use strict';
// On a site's card: what was noted there, and a button to note more.
seasonMap.part(() => {
  const { element, words, fieldNotes, noteForm, notesList, plainButton, replace } = seasonMap;
  const shown = new Map(); // node -> site, of the card that stands

  function fill(node, site) {
    const notes = fieldNotes.of(site);
    replace(node, ...(notes.length === 0 ? [] : [element('h3', {}, words.notesHere), ...notes.flatMap((note) => notesList.told(note))]));
  }

  seasonMap.cardSections.push((site) => {
    const node = element('div', { class: 'card-notes' });
    shown.clear();
    shown.set(node, site);
    fill(node, site);
    return [node];
  });
  seasonMap.cardActions.push((site) => plainButton(words.noteWrite, () => noteForm.openFor(site)));

  fieldNotes.on(() => shown.forEach((site, node) => fill(node, site)));

  seasonMap.fieldNotes.openFor = noteForm.openFor;
});
