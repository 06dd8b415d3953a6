'use strict';
// The notes of this season on this device: what was looked for at a site, and what was found.
seasonMap.part(() => {
  const { data, device, longitudes, noteStore } = seasonMap;
  const RESULTS = ['found', 'not found', 'not looked']; // as the register writes them, but for the last
  const TEXTS = ['visit_id', 'site_id', 'site_name', 'agent', 'result', 'date', 'release_id', 'method', 'sign', 'life_stage', 'observer', 'note'];
  const NUMBERS = ['count', 'effort_hours', 'latitude_deg', 'longitude_deg', 'coordinate_uncertainty_m'];
  const listeners = [];
  let isSaved = true; // whether everything since the page was opened is in a file
  let removed = null; // as it was stored

  // Names of this kind do not meet when the notes of several devices are put together.
  function newId(day) {
    const random = [...crypto.getRandomValues(new Uint8Array(8))].map((byte) => (byte % 36).toString(36)).join('');
    return `note-${day.replaceAll('-', '')}-${random}`;
  }

  // Any page on this device may have written here: only what a note can hold is taken.
  function readNote(given) {
    if (given === null || typeof given !== 'object') return null;
    const texts = TEXTS.map((name) => [name, typeof given[name] === 'string' ? given[name] : '']);
    const numbers = NUMBERS.map((name) => [name, Number.isFinite(given[name]) ? given[name] : null]);
    const note = { ...Object.fromEntries(texts), ...Object.fromEntries(numbers) };
    const isWhereSomebodyStood = [note.latitude_deg, note.longitude_deg, note.coordinate_uncertainty_m].every((number) => number !== null);
    return { ...note, isOwnPosition: given.isOwnPosition === true && isWhereSomebodyStood };
  }

  const isWhole = (note) => note !== null && note.visit_id !== '' && RESULTS.includes(note.result);

  const isKnown = (item) => isWhole(readNote(item));
  const isOf = (item, visitId) => isKnown(item) && item.visit_id === visitId;

  const all = () => noteStore.items().map(readNote).filter(isWhole);

  function tell() {
    for (const listener of listeners) listener();
  }

  function keep(items) {
    isSaved = false;
    noteStore.write(items);
    tell();
  }

  // A note with a visit_id takes the place of the one that had it. Everything else that is stored stays as it is.
  function put(given) {
    const items = noteStore.items();
    const note = { ...given, longitude_deg: given.longitude_deg === null ? null : longitudes.told(given.longitude_deg) };
    const named = note.visit_id === '' ? { ...note, visit_id: newId(note.date) } : note;
    const isNew = !items.some((item) => isOf(item, named.visit_id));
    keep(isNew ? [...items, named] : items.map((item) => (isOf(item, named.visit_id) ? { ...item, ...named } : item)));
    return named;
  }

  function remove(visitId) {
    removed = noteStore.items().find((item) => isOf(item, visitId)) || null;
    keep(noteStore.items().filter((item) => !isOf(item, visitId)));
  }

  function undoRemove() {
    const back = removed;
    removed = null;
    if (back !== null) put({ ...back, ...readNote(back) });
    return back;
  }

  const today = () => {
    const now = new Date();
    return [now.getFullYear(), String(now.getMonth() + 1).padStart(2, '0'), String(now.getDate()).padStart(2, '0')].join('-');
  };

  const newestFirst = (notes) => [...notes].reverse().sort((one, other) => (one.date === other.date ? 0 : one.date < other.date ? 1 : -1));

  // Leaving is asked about only where leaving loses something.
  window.addEventListener('beforeunload', (event) => {
    if (!device.isKept && !isSaved && all().length > 0) event.preventDefault();
  });
  device.onElsewhere(tell);

  // What was typed and not saved: the note, and where its site is printed.
  function draft() {
    const found = device.read('draft');
    const note = found === null || typeof found !== 'object' ? null : readNote(found.note);
    const spot = note === null ? null : readNote(found.spot);
    if (spot === null || note.site_id === '') return null;
    return { note, spot: { latitude_deg: spot.latitude_deg, longitude_deg: spot.longitude_deg } };
  }

  seasonMap.fieldNotes = {
    RESULTS,
    draft,
    keepDraft: (given) => device.write('draft', given),
    all: () => newestFirst(all()),
    of: (site) => newestFirst(all()).filter((note) => note.site_id === site.site_id && note.agent === site.agent),
    put,
    remove,
    undoRemove,
    unknown: () => noteStore.items().filter((item) => !isKnown(item)),
    removed: () => readNote(removed),
    forgetRemoved: () => { removed = null; },
    saved: () => { isSaved = true; },
    today,
    agentIndex: (note) => data.season.agents.findIndex((agent) => agent.name === note.agent),
    on: (listener) => listeners.push(listener),
  };
});
