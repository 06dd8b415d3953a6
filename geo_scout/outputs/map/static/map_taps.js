'use strict';
// Taps on the map while they mean something else than choosing a site. One taker at a time.
seasonMap.part(() => {
  const { map } = seasonMap.layers;
  const frame = map.getContainer();
  let taker = null; // {tap: ({latitude_deg, longitude_deg}), end}

  const isOnMap = (event) => event.target.closest('.leaflet-control') === null;

  function place(latlng) {
    return { latitude_deg: latlng.lat, longitude_deg: seasonMap.longitudes.drawn(latlng.lng) };
  }

  const middle = () => place(map.getCenter());
  const of = (event) => place(map.mouseEventToLatLng(event));

  // Leaflet listens on the frame itself, so whoever listens on the way down is first.
  function intercept(event) {
    if (taker === null || !isOnMap(event)) return;
    event.stopPropagation();
    event.preventDefault();
    if (event.type === 'click' && !map.dragging.moved()) taker.tap(of(event));
  }
  frame.addEventListener('click', intercept, true);
  frame.addEventListener('dblclick', intercept, true);

  frame.addEventListener('keydown', (event) => {
    if (taker === null || event.key !== 'Enter' || event.target !== frame) return;
    event.preventDefault();
    taker.tap(middle());
  });

  document.addEventListener('keydown', (event) => {
    if (taker === null || event.key !== 'Escape') return;
    event.preventDefault();
    release();
  }, true);

  function release() {
    const left = taker;
    taker = null;
    frame.classList.remove('is-taken');
    if (left !== null) left.end();
  }

  function take(next) {
    release();
    taker = next;
    frame.classList.add('is-taken');
  }

  seasonMap.mapTaps = { take, release, middle, of, isOnMap };
});
