'use strict';
// The form of one note. What is typed is kept as it is typed, so that a phone that closes the page loses nothing.
seasonMap.part(() => {
  const { element, words, device, fieldNotes, noteFields, notePosition, position, plainButton, replace } = seasonMap;
  const place = element('div', { class: 'note-form-place' });
  let open = null; // {note, spot, form, where, heading, trouble, isDirty} while a form stands

  function close() {
    open = null;
    fieldNotes.keepDraft(null);
    replace(place);
  }

  function complain({ name, what }) {
    for (const one of open.form.querySelectorAll('[aria-invalid]')) one.removeAttribute('aria-invalid');
    const control = noteFields.control(open.form, name);
    control.setAttribute('aria-invalid', 'true');
    control.setAttribute('aria-describedby', 'note-trouble');
    open.trouble.textContent = what;
    // Below the field, so that it is seen where it is mended.
    (control.closest('fieldset') || control.closest('.field-pair') || control.closest('.field')).after(open.trouble);
    control.focus();
  }

  function save(event) {
    event.preventDefault();
    const wrong = noteFields.problem(open.form);
    if (wrong !== null) {
      complain(wrong);
      return;
    }
    const note = { ...open.note, ...noteFields.read(open.form), ...open.where.read() };
    device.write('observer', note.observer);
    fieldNotes.forgetRemoved();
    const kept = fieldNotes.put(note);
    close();
    seasonMap.say(words.noteSaved(kept.site_name || kept.site_id));
    seasonMap.notesList.focus(kept.visit_id);
  }

  function cancel() {
    const { visit_id: visitId } = open.note;
    close();
    seasonMap.notesList.focus(visitId);
  }

  function keepDraft() {
    open.isDirty = true;
    fieldNotes.keepDraft({ note: { ...open.note, ...noteFields.read(open.form) }, spot: open.spot });
  }

  function show(note, spot, isDirty = false) {
    const heading = element('h3', { tabindex: -1 }, element('bdi', {}, words.noteAbout(note.site_name || note.site_id)));
    const trouble = element('p', { class: 'trouble', id: 'note-trouble', role: 'alert' });
    const where = notePosition.make(note, spot);
    const form = element('form', { class: 'note-form', novalidate: true },
      heading, element('p', { class: 'soft' }, element('bdi', {}, words.noteIdentity(note.site_id, note.agent))), trouble,
      ...noteFields.make(note), ...where.nodes,
      element('div', { class: 'button-row' },
        element('button', { type: 'submit', class: 'plain-button is-main' }, words.noteSave), plainButton(words.noteCancel, cancel)));
    form.addEventListener('submit', save);
    form.addEventListener('input', keepDraft);
    form.addEventListener('change', () => noteFields.showOnlyAsked(form));
    open = { note, spot, form, where, heading, trouble, isDirty };
    noteFields.showOnlyAsked(form);
    replace(place, form);
  }

  function bringForward() {
    seasonMap.tabs.show('field');
    open.heading.focus({ preventScroll: true });
    open.form.scrollIntoView({ block: 'start' });
  }

  // An unfinished note is never thrown away by opening another.
  function begin(note, spot) {
    if (open === null || !open.isDirty) show(note, spot);
    else if (['visit_id', 'site_id', 'agent'].some((name) => open.note[name] !== note[name])) open.trouble.textContent = words.noteUnfinished;
    bringForward();
  }

  function openFor(site) {
    const spot = { latitude_deg: site.latitude_deg, longitude_deg: site.longitude_deg };
    const observer = device.read('observer');
    begin({
      visit_id: '', site_id: site.site_id, site_name: site.name || '', agent: site.agent, result: '', date: fieldNotes.today(),
      release_id: '', method: '', sign: '', life_stage: '', observer: typeof observer === 'string' ? observer : '', note: '',
      count: null, effort_hours: null, ...spot, coordinate_uncertainty_m: null, isOwnPosition: false,
    }, spot);
  }

  position.on(() => open?.where.refresh());

  const left = fieldNotes.draft();
  if (left !== null) show(left.note, left.spot, true);

  seasonMap.noteForm = { node: place, openFor, edit: begin };
});
