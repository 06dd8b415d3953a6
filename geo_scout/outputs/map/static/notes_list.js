'use strict';
// The notes on this device: read, gone to, changed, deleted and brought back.
seasonMap.part(() => {
  const { element, numbers, words, state, data, fieldNotes, noteForm, noteStore, plainButton, replace } = seasonMap;
  const list = element('ul', { class: 'notes' });
  const undoPlace = element('div', { class: 'undo', role: 'status' });
  const heading = element('h3', { tabindex: -1 });

  function details(note) {
    return [
      note.count === null ? '' : words.noteCounted(note.count),
      note.effort_hours === null ? '' : words.noteHours(numbers.quantity(note.effort_hours, 'hours')),
      note.life_stage, note.sign, note.method, note.release_id ? words.noteAtRelease(note.release_id) : '', note.observer,
      note.isOwnPosition ? words.noteFromPosition(numbers.quantity(note.coordinate_uncertainty_m, 'm')) : '',
    ].filter(Boolean).join(' · ');
  }

  const headline = (note) => `${words.noteResults[note.result]} · ${numbers.longDate(note.date)}`;

  // What was noted, without the site: for the list and for the card.
  const told = (note) => [['note-head', headline(note)], ['note-details', details(note)], ['note-text', note.note]]
    .filter(([, text]) => text !== '')
    .map(([kind, text]) => element('p', { class: kind }, element('bdi', {}, text)));

  // The site as this map has it now, under the ranking that is shown or the other one.
  function siteOf(note) {
    const agentIndex = fieldNotes.agentIndex(note);
    if (agentIndex < 0) return null;
    for (const role of [state.role, ...Object.keys(words.roles)]) {
      const site = data.ranking(agentIndex, role).site(note.site_id);
      if (site) return { site, agentIndex, role };
    }
    return null;
  }

  function goTo({ site, agentIndex, role }) {
    if (agentIndex !== state.agentIndex || role !== state.role) state.show(agentIndex, role);
    state.choose(site.site_id, 'list');
  }

  function edit(note) {
    const found = siteOf(note);
    const spot = found ? found.site : note;
    noteForm.edit(note, { latitude_deg: spot.latitude_deg, longitude_deg: spot.longitude_deg });
  }

  function remove(note) {
    fieldNotes.remove(note.visit_id);
    undoPlace.querySelector('button')?.focus();
  }

  function item(note) {
    const name = note.site_name || note.site_id;
    const found = siteOf(note);
    const title = found
      ? plainButton(element('bdi', {}, name), () => goTo(found), { class: 'link-button' })
      : element('span', {}, element('bdi', {}, name), ` ${words.noteElsewhere}`);
    const about = words.noteIdentity(note.site_id, data.season.agents.length > 1 ? note.agent : '');
    return element('li', { 'data-note': note.visit_id, tabindex: -1 },
      element('p', { class: 'note-title' }, title, ' ', element('span', { class: 'soft' }, element('bdi', {}, about))),
      ...told(note),
      element('div', { class: 'button-row' },
        plainButton(words.noteEdit, () => edit(note), { 'aria-label': words.noteEditOf(name) }),
        plainButton(words.noteDelete, () => remove(note), { 'aria-label': words.noteDeleteOf(name) })));
  }

  function undo() {
    const back = fieldNotes.undoRemove();
    if (back !== null) focus(back.visit_id);
  }

  function refresh() {
    const notes = fieldNotes.all();
    const removed = fieldNotes.removed();
    const isUnread = noteStore.allAside().length > 0 || noteStore.unmoved() !== null || fieldNotes.unknown().length > 0;
    heading.textContent = notes.length === 0 && isUnread ? words.notesNoneRead : words.notesOnDevice(notes.length);
    replace(undoPlace, ...(removed === null ? [] : [
      element('span', {}, words.noteDeleted(removed.site_name || removed.site_id)), plainButton(words.noteUndo, undo),
    ]));
    replace(list, ...notes.map(item));
  }

  function focus(visitId) {
    const node = [...list.children].find((one) => one.dataset.note === visitId) || heading;
    node.focus({ preventScroll: true });
    node.scrollIntoView({ block: 'nearest' });
  }

  fieldNotes.on(refresh);
  refresh();

  seasonMap.notesList = { nodes: [heading, undoPlace, list], told, focus };
});
