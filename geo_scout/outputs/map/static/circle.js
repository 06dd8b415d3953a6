'use strict';
// A circle on the map, drawn by taps or by its centre and radius, and what lies in it.
seasonMap.part(() => {
  const { element, words, numbers, state, layers, geodesy, geodesicCircle, mapBars, mapTaps, plainButton, replace, siteField } = seasonMap;
  const { map } = layers;
  const CORNERS = 180;
  const [LEAST_KM, MOST_KM, FIRST_KM] = [0.05, 500, 5];
  const POLE_KM = 9900; // from the equator: nearer to a pole no circle is drawn
  const COORDINATES = /^\s*([-−]?\d+(?:\.\d+)?)\s*[,;\s]\s*([-−]?\d+(?:\.\d+)?)\s*$/;
  const lines = L.layerGroup().addTo(map);
  let centre = null; // {latitude_deg, longitude_deg}
  let radius_m = FIRST_KM * 1000;

  const isPlaced = (site) => site.latitude_deg !== null;
  const problem = element('p', { class: 'trouble', role: 'alert' });
  const answer = element('div', { class: 'circle-answer' });
  const centreField = siteField.make({ id: 'circle-centre', label: words.circleCentre, sites: () => state.ranking().sites.filter(isPlaced), change: () => {} });
  const km = element('input', { type: 'number', id: 'circle-km', min: LEAST_KM, max: MOST_KM, step: 'any', inputmode: 'decimal' });
  km.value = FIRST_KM;

  const at = ({ latitude_deg, longitude_deg }) => ({ latitude_deg, longitude_deg });

  // ---- what is drawn
  function draw(around, metres) {
    lines.clearLayers();
    if (around === null) return;
    const ring = geodesicCircle.ring(around, metres, CORNERS);
    for (const kind of ['circle-line is-under', 'circle-line']) lines.addLayer(L.polygon(ring, { pane: 'field', className: kind, interactive: false, smoothFactor: 0 }));
    lines.addLayer(mapBars.dot(around.latitude_deg, around.longitude_deg, 'is-measured'));
  }

  function tell() {
    replace(answer, ...(centre === null ? [element('p', { class: 'soft' }, words.circleHow)] : seasonMap.circleTold(centre, radius_m)));
  }

  function refresh() {
    draw(centre, radius_m);
    tell();
    clear.disabled = centre === null;
  }

  // ---- by taps: the centre, then a place on the edge
  let isAtEdge = false;
  const told = element('p', { role: 'status' });
  const bar = mapBars.add(words.circleTitle, true, told, element('div', { class: 'bar-buttons' },
    plainButton(words.circleMiddle, () => tap(mapTaps.middle())), plainButton(words.circleStop, () => mapTaps.release())));

  function tap(place) {
    if (!isAtEdge) {
      if (!canBe(place, radius_m)) return;
      isAtEdge = true;
      told.textContent = words.circleTapEdge;
      centreField.input.value = numbers.degrees(place.latitude_deg, place.longitude_deg);
      set(place, radius_m);
      return;
    }
    const { distance_m } = geodesy.inverse(centre, place);
    if (!canBe(centre, distance_m)) return;
    set(centre, distance_m);
    mapTaps.release();
  }

  map.on('mousemove', ({ latlng }) => {
    if (!isAtEdge || bar.hidden) return;
    const { distance_m } = geodesy.inverse(centre, { latitude_deg: latlng.lat, longitude_deg: latlng.lng });
    if (distance_m <= MOST_KM * 1000) draw(centre, distance_m);
  });

  function endTaps() {
    const isInside = bar.contains(document.activeElement) || document.activeElement === map.getContainer();
    isAtEdge = false;
    bar.hidden = true;
    byTaps.setAttribute('aria-pressed', 'false');
    draw(centre, radius_m);
    if (isInside) byTaps.focus();
  }

  const byTaps = plainButton(words.circleDraw, () => {
    if (byTaps.getAttribute('aria-pressed') === 'true') { mapTaps.release(); return; }
    mapTaps.take({ tap, end: endTaps });
    isAtEdge = false;
    problem.textContent = '';
    told.textContent = words.circleTapCentre;
    bar.hidden = false;
    byTaps.setAttribute('aria-pressed', 'true');
    if (seasonMap.isNarrow()) map.getContainer().scrollIntoView({ block: 'nearest' });
  }, { 'aria-pressed': 'false' });

  // ---- by the form
  function canBe(place, metres) {
    let wrong = '';
    if (!(metres >= LEAST_KM * 1000 && metres <= MOST_KM * 1000)) wrong = words.circleRadiusWrong(LEAST_KM, MOST_KM);
    else if ((Math.abs(place.latitude_deg) / 90) * 10002 + metres / 1000 > POLE_KM) wrong = words.circlePole;
    problem.textContent = wrong;
    if (wrong !== '' && !bar.hidden) told.textContent = wrong;
    return wrong === '';
  }

  function coordinates(text) {
    const found = COORDINATES.exec(text);
    if (!found) return null;
    const [latitude_deg, longitude_deg] = found.slice(1).map((figure) => Number(figure.replace('−', '-')));
    return Math.abs(latitude_deg) <= 90 && Math.abs(longitude_deg) <= 180 ? { latitude_deg, longitude_deg: seasonMap.longitudes.drawn(longitude_deg) } : null;
  }

  // Returns {place} or {problem}: a site by its name or id, or latitude and longitude.
  function find(text) {
    if (text.trim() === '') return { problem: words.betweenBlank };
    const found = siteField.find(state.ranking().sites.filter(isPlaced), text);
    if (found.site) return { place: at(found.site) };
    const typed = coordinates(text);
    return typed === null ? { problem: found.problem === words.siteUnknown ? words.betweenUnknown : found.problem } : { place: typed };
  }

  function set(place, metres) {
    centre = at(place);
    radius_m = metres;
    km.value = Number((metres / 1000).toFixed(3));
    refresh();
  }

  function bringIntoSight() {
    const bounds = L.latLngBounds(geodesicCircle.ring(centre, radius_m, 8));
    if (!map.getBounds().contains(bounds)) map.fitBounds(bounds.pad(0.15), { animate: false });
  }

  const form = element('form', { novalidate: true },
    element('div', { class: 'circle-fields' }, centreField.node, element('label', { class: 'field' }, element('span', {}, words.circleRadius), km)),
    element('button', { type: 'submit', class: 'plain-button' }, words.circleDo));
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    const found = find(centreField.input.value);
    const metres = km.value.trim() === '' ? NaN : Number(km.value) * 1000;
    if (found.problem) { problem.textContent = words.compareProblem(words.circleCentre, found.problem); return; }
    if (!canBe(found.place, metres)) return;
    set(found.place, metres);
    if (!bar.hidden) mapTaps.release();
    bringIntoSight();
  });

  let chosen = null; // the site chosen last, which stays when its card is closed
  const onSite = plainButton(words.circleOnSite, () => {
    centreField.set(chosen);
    form.requestSubmit();
  });
  const clear = plainButton(words.circleClear, () => {
    centre = null;
    problem.textContent = '';
    refresh();
    byTaps.focus();
  });
  function offerSite() { onSite.disabled = chosen === null || !isPlaced(chosen); }

  state.on('chosen', (siteId) => { if (siteId !== null) chosen = state.site(siteId); offerSite(); });
  state.on('ranking', () => { chosen = null; offerSite(); if (centre !== null) refresh(); });
  state.on('order', () => { if (centre !== null) tell(); });
  state.on('year', () => { if (centre !== null) tell(); });
  offerSite();
  refresh();

  seasonMap.circle = {
    node: element('section', { class: 'field-part', 'aria-labelledby': 'circle-title' },
      element('h2', { id: 'circle-title' }, words.circleTitle),
      element('div', { class: 'button-row' }, byTaps, onSite, clear), form, problem, answer),
  };
});
