'use strict';
// The fields of a note: made, read, and checked.
seasonMap.part(() => {
  const { element, numbers, words, data, fieldNotes } = seasonMap;
  const LOOKED = ['release_id', 'effort_hours', 'method', 'count', 'sign', 'life_stage']; // asked only where somebody looked
  const OFFERED = 30;

  const recordsOf = (note) => data.records[fieldNotes.agentIndex(note)] || { visits: [], releases: [] };

  function labelled(name, control, ...more) {
    control.setAttribute('name', name);
    control.id = `note-${name}`;
    return element('label', { class: 'field', 'data-field': name }, element('span', {}, words.noteFields[name]), control, ...more);
  }

  // Words used before, here or in the records, so that the same thing is called by the same name.
  function offered(name, note) {
    const { visits, releases } = recordsOf(note);
    const used = { method: visits, life_stage: releases }[name] || [];
    const texts = [...fieldNotes.all(), ...used].map((one) => one[name]).filter((text) => typeof text === 'string' && text !== '');
    return [...new Set(texts)].slice(0, OFFERED);
  }

  function text(name, note) {
    const input = element('input', { type: 'text', list: `offered-${name}`, autocomplete: 'off' });
    input.value = note[name];
    return labelled(name, input, element('datalist', { id: `offered-${name}` }, ...offered(name, note).map((one) => element('option', { value: one }))));
  }

  function number(name, note, step, inputmode) {
    const input = element('input', { type: 'number', min: 0, step, inputmode });
    if (note[name] !== null) input.value = String(note[name]);
    return labelled(name, input);
  }

  function date(note) {
    const input = element('input', { type: 'date' });
    input.value = note.date;
    return labelled('date', input);
  }

  function release(note) {
    const here = recordsOf(note).releases.filter((one) => one.site_id === note.site_id && one.release_id);
    if (here.length === 0) return null;
    const select = element('select', {}, element('option', { value: '' }, words.noteNoRelease),
      ...here.map((one) => element('option', { value: one.release_id }, words.noteRelease(one.release_id, numbers.longDate(one.date)))));
    select.value = here.some((one) => one.release_id === note.release_id) ? note.release_id : '';
    return labelled('release_id', select);
  }

  function result(note) {
    return element('fieldset', { class: 'results' }, element('legend', {}, words.noteFields.result), ...fieldNotes.RESULTS.map((value) => {
      const radio = element('input', { type: 'radio', name: 'result', value });
      radio.checked = note.result === value;
      return element('label', { class: 'check' }, radio, element('span', {}, words.noteResults[value]));
    }));
  }

  function remarks(note) {
    const area = element('textarea', { rows: 3 });
    area.value = note.note;
    return labelled('note', area);
  }

  const make = (note) => [
    result(note),
    element('div', { class: 'field-pair' }, date(note), number('effort_hours', note, 'any', 'decimal')),
    element('div', { class: 'field-pair' }, number('count', note, 1, 'numeric'), text('life_stage', note)),
    text('sign', note), text('method', note), release(note), remarks(note), text('observer', note),
  ].filter(Boolean);

  const control = (form, name) => (name === 'result' ? form.querySelector('[name=result]') : form.elements.namedItem(name));
  const resultOf = (form) => form.querySelector('[name=result]:checked')?.value ?? '';
  const typed = (form, name) => control(form, name)?.value.trim() ?? '';
  const figure = (form, name) => (typed(form, name) === '' ? null : Number(typed(form, name)));

  function showOnlyAsked(form) {
    for (const name of LOOKED) {
      const node = form.querySelector(`[data-field=${name}]`);
      if (node) node.hidden = resultOf(form) === 'not looked';
    }
  }

  // What the form says now, sound or not, as the note would hold it.
  function read(form) {
    const hasLooked = resultOf(form) !== 'not looked';
    const texts = ['release_id', 'method', 'sign', 'life_stage'].map((name) => [name, hasLooked ? typed(form, name) : '']);
    const figures = ['count', 'effort_hours'].map((name) => [name, hasLooked ? figure(form, name) : null]);
    return {
      result: resultOf(form), date: typed(form, 'date'), observer: typed(form, 'observer'), note: typed(form, 'note'),
      ...Object.fromEntries([...texts, ...figures]),
    };
  }

  const isBad = (form, name) => control(form, name).validity.badInput || (figure(form, name) ?? 0) < 0;

  // Returns {name, what}: the first field that is wrong, and what is wrong with it; null where all is sound.
  function problem(form) {
    const wrong = (name, what = name) => ({ name, what: words.noteProblems[what] });
    if (resultOf(form) === '') return wrong('result');
    if (!/^\d{4}-\d{2}-\d{2}$/.test(typed(form, 'date'))) return wrong('date');
    if (resultOf(form) === 'not looked') return null;
    if (isBad(form, 'effort_hours')) return wrong('effort_hours');
    const count = figure(form, 'count');
    if (isBad(form, 'count') || (count !== null && !Number.isInteger(count))) return wrong('count');
    if (resultOf(form) === 'found' && count === 0) return wrong('count', 'countFound');
    if (resultOf(form) === 'not found' && count > 0) return wrong('count', 'countNotFound');
    return null;
  }

  seasonMap.noteFields = { make, read, problem, control, showOnlyAsked };
});
