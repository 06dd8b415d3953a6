'use strict';
// Where am I: follows the device's position, draws it with its accuracy, and says plainly why there is none.
seasonMap.part(() => {
  const { element, numbers, words, layers, mapBars, plainButton } = seasonMap;
  const { map } = layers;
  const HOW = { enableHighAccuracy: true, maximumAge: 10000, timeout: 30000 };
  const REFUSED = 1;
  const TROUBLE = { 1: 'refused', 2: 'unavailable', 3: 'timeout' };
  const listeners = [];
  const marks = L.layerGroup().addTo(map);
  let watch = null;
  let now = null; // {latitude_deg, longitude_deg, accuracy_m, time}
  let trouble = '';

  const button = layers.addButton(words.whereAmI, 'where-am-i');
  button.setAttribute('aria-pressed', 'false');
  const status = element('p', {});
  const nearest = element('div', { class: 'nearest-line' });
  const dismiss = plainButton(words.close, () => {
    trouble = '';
    refresh();
    button.focus();
  });
  const bar = mapBars.add(words.whereAmI, false, status, nearest, element('div', { class: 'bar-buttons' }, dismiss));

  function told() {
    const parts = [];
    if (now !== null) parts.push(words.positionIs(numbers.quantity(now.accuracy_m, 'm'), now.time));
    if (trouble !== '') parts.push(words.positionTrouble[trouble]);
    if (parts.length === 0 && watch !== null) parts.push(words.positionWaiting);
    return parts.join(' ');
  }

  function draw() {
    marks.clearLayers();
    if (now === null) return;
    const { latitude_deg, longitude_deg, accuracy_m } = now;
    marks.addLayer(L.circle([latitude_deg, longitude_deg], { pane: 'field', className: 'field-accuracy', radius: accuracy_m, interactive: false }));
    marks.addLayer(mapBars.dot(latitude_deg, longitude_deg, 'is-me'));
  }

  function refresh() {
    draw();
    const text = told();
    status.textContent = text;
    bar.hidden = text === '';
    dismiss.hidden = watch !== null;
    button.setAttribute('aria-pressed', String(watch !== null));
    for (const listener of listeners) listener(now);
  }

  // The first fix is brought into sight, unless it lies far from everything this map shows.
  function bringIntoSight() {
    const here = L.latLng(now.latitude_deg, now.longitude_deg);
    if (map.getBounds().contains(here)) return;
    const sites = seasonMap.state.ranking().sites.filter((site) => site.latitude_deg !== null);
    const reach = L.latLngBounds(sites.map((site) => [site.latitude_deg, site.longitude_deg]));
    if (reach.isValid() && reach.pad(0.5).contains(here)) map.panTo(here, { animate: false });
  }

  const clock = (date) => `${String(date.getHours()).padStart(2, '0')}:${String(date.getMinutes()).padStart(2, '0')}`;

  function known({ coords, timestamp }) {
    if (watch === null) return;
    const isFirst = now === null;
    now = {
      latitude_deg: Number(coords.latitude.toFixed(6)),
      longitude_deg: seasonMap.longitudes.drawn(Number(coords.longitude.toFixed(6))),
      accuracy_m: Math.max(1, Math.ceil(coords.accuracy)),
      time: clock(new Date(timestamp)),
    };
    trouble = '';
    if (isFirst) bringIntoSight();
    refresh();
    // Said once: positions come every second.
    if (isFirst) seasonMap.say(told());
  }

  function failed({ code }) {
    if (watch === null) return;
    trouble = TROUBLE[code] || 'unavailable';
    if (code === REFUSED) stop();
    refresh();
    seasonMap.say(told());
  }

  function stop() {
    if (watch !== null && navigator.geolocation) navigator.geolocation.clearWatch(watch);
    watch = null;
    now = null;
  }

  function begin() {
    trouble = '';
    if (!navigator.geolocation || !window.isSecureContext) {
      trouble = 'impossible';
      return;
    }
    watch = -1; // an answer may come before the number does
    watch = navigator.geolocation.watchPosition(known, failed, HOW);
  }

  function toggle() {
    if (watch === null) begin();
    else {
      stop();
      trouble = '';
    }
    refresh();
    seasonMap.say(told());
  }
  button.addEventListener('click', toggle);

  seasonMap.position = {
    now: () => now,
    isWatched: () => watch !== null,
    told,
    toggle,
    nearestLine: nearest,
    on: (listener) => listeners.push(listener),
  };
});
