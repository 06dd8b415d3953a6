'use strict';
// The tab for the field: notes and their files, then what is done on the map.
seasonMap.part(() => {
  const { element, words, device, state, fieldFiles, fieldNotes, noteForm, noteUnread, notesList, place, plainButton, replace } = seasonMap;

  let chosen = null;
  const write = plainButton('', () => noteForm.openFor(chosen));
  const hint = element('p', { class: 'soft' }, words.noteHow);
  const warning = element('p', { class: 'trouble', role: 'alert' });

  function refreshWrite() {
    write.hidden = chosen === null;
    hint.hidden = chosen !== null;
    if (chosen !== null) replace(write, element('bdi', {}, words.noteWriteOf(chosen.name || chosen.site_id)));
  }

  const noteFiles = element('div', { class: 'button-row' });
  const saveNotes = (make) => () => {
    const { name, type, text } = make(fieldNotes.all().reverse(), fieldNotes.today());
    seasonMap.offer(name, type, text);
    // Only the file of all notes holds every one.
    if (make === fieldFiles.notesCsv || fieldFiles.visitsAmong(fieldNotes.all()).length === fieldNotes.all().length) fieldNotes.saved();
  };
  const unseen = element('p', { class: 'soft' });

  function refreshNotes() {
    const notes = fieldNotes.all();
    const visits = fieldFiles.visitsAmong(notes).length;
    warning.textContent = device.isKept ? '' : words.notesNotKept;
    unseen.textContent = notes.length > visits ? words.notesUnseen(notes.length - visits) : '';
    for (const button of noteFiles.querySelectorAll('button')) button.disabled = (button.dataset.needs === 'visits' ? visits : notes.length) === 0;
  }
  noteFiles.append(
    plainButton(words.saveVisitsCsv, saveNotes(fieldFiles.visitsCsv), { 'data-needs': 'visits' }),
    plainButton(words.saveVisitsGeojson, saveNotes(fieldFiles.visitsGeojson), { 'data-needs': 'visits' }),
    plainButton(words.saveNotesCsv, saveNotes(fieldFiles.notesCsv), { 'data-needs': 'notes' }));

  state.on('ranking', () => { chosen = null; refreshWrite(); });
  state.on('chosen', (siteId) => {
    if (siteId === null) return;
    chosen = state.site(siteId);
    refreshWrite();
  });
  fieldNotes.on(refreshNotes);
  refreshWrite();
  refreshNotes();

  const notes = element('section', { class: 'field-part', 'aria-labelledby': 'notes-title' },
    element('h2', { id: 'notes-title' }, words.notesTitle), warning, ...noteUnread.nodes, hint, write, noteForm.node, ...notesList.nodes,
    noteFiles, unseen, element('p', { class: 'soft' }, words.notesRead), element('p', { class: 'soft' }, words.notesShared));

  // The part itself stands below every tab, folded.
  function openCautions() {
    const part = place('notices').querySelector('details');
    part.open = true;
    part.querySelector('summary').focus({ preventScroll: true });
    part.scrollIntoView({ block: 'start' });
  }
  const reminder = element('div', { class: 'before-going' },
    element('p', {}, words.beforeGoing), plainButton(words.beforeGoingAll, openCautions));

  seasonMap.tabs.add('field', words.tabs.field, element('div', { class: 'field-tab' }, reminder, notes,
    ...['nearestSites', 'measureBetween', 'pointHere', 'takeAlong'].map((name) => seasonMap[name].node)));
});
