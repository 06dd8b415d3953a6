'use strict';
// Where a note says it was written: at the printed place of its site, or where its writer stood.
seasonMap.part(() => {
  const { element, numbers, words, data, fieldNotes, geodesy, howFar, position } = seasonMap;

  // From where somebody stands to the patch; to its printed place where it has no outline; null where it has neither.
  function outside_m(here, note, spot) {
    const index = fieldNotes.agentIndex(note);
    const toEdge = index < 0 ? null : geodesy.distanceToOutline(data.outline(index, note.site_id), here);
    if (toEdge !== null || spot.latitude_deg === null) return toEdge;
    return geodesy.inverse(here, spot).distance_m;
  }

  function tell(here, away_m) {
    const accuracy = numbers.quantity(here.accuracy_m, 'm');
    if (away_m === null) return words.noteAttach(accuracy);
    return away_m === 0 ? words.noteAttachInside(accuracy) : words.noteAttachAway(accuracy, howFar.distance(away_m));
  }

  // spot: the printed place of the site, {latitude_deg, longitude_deg}.
  function make(note, spot) {
    const box = element('input', { type: 'checkbox', id: 'note-attach' });
    const [told, hint] = [element('span', {}), element('p', { class: 'soft' })];
    const row = element('label', { class: 'check' }, box, told);
    let isTouched = note.isOwnPosition;
    box.checked = note.isOwnPosition;
    box.addEventListener('change', () => { isTouched = true; });

    function refresh() {
      const here = position.now();
      row.hidden = !note.isOwnPosition && here === null;
      hint.textContent = row.hidden ? words.noteNoPosition : words.noteAttachMeans;
      if (note.isOwnPosition) {
        told.textContent = words.noteKeepPosition(numbers.degrees(note.latitude_deg, note.longitude_deg), numbers.quantity(note.coordinate_uncertainty_m, 'm'));
      } else if (here !== null) {
        const away_m = outside_m(here, note, spot);
        told.textContent = tell(here, away_m);
        // A visit counts for the patch it lies in: who stands elsewhere has to say that it is meant.
        if (!isTouched) box.checked = away_m !== null && away_m <= here.accuracy_m;
      }
    }

    function read() {
      const here = position.now();
      if (box.checked && note.isOwnPosition) return {};
      if (!box.checked || here === null) return { ...spot, coordinate_uncertainty_m: null, isOwnPosition: false };
      return { latitude_deg: here.latitude_deg, longitude_deg: here.longitude_deg, coordinate_uncertainty_m: here.accuracy_m, isOwnPosition: true };
    }

    refresh();
    return { nodes: [row, hint], refresh, read };
  }

  seasonMap.notePosition = { make };
});
