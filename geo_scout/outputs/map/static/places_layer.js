'use strict';
// Crew bases, and the names of districts, towns, passes and tops: the same for every agent.
seasonMap.part(() => {
  const { data, element, symbols, layers } = seasonMap;
  const { groups } = layers;

  const nameIcon = (className, name) => L.divIcon({ className, html: element('span', {}, name || ''), iconSize: [0, 0] });
  const nameMark = (className, name, position) => L.marker(position, { icon: nameIcon(className, name), pane: 'names', interactive: false, keyboard: false });
  const positionOf = (one) => [one.latitude_deg, one.longitude_deg];

  for (const crew of data.crews) {
    const mark = L.marker(positionOf(crew), { icon: symbols.icon(symbols.crew(), 'crew-mark'), pane: 'records', keyboard: false, zIndexOffset: 8000 });
    mark.on('click', () => seasonMap.cardPlace.showRecord(mark.getLatLng(), seasonMap.recordCard.crew(crew)));
    mark.addTo(groups.crews);
  }

  const crews = data.crews.map((one) => ({ text: one.name || '', kind: 'crew', position: positionOf(one) }));
  // What is to be named, those that matter most first: districts, then places in the order of their layer.
  const districts = data.districts.map((one) => ({ text: one.district || '', kind: 'district', position: positionOf(one) }));
  const places = data.places.map((one) => ({ text: one.name || '', kind: 'place', position: positionOf(one) }));
  const names = [...crews, ...districts, ...places];
  const { map } = layers;

  const classOf = ({ kind, side }) => `${kind}-name ${side}`.trim();
  const groupOf = ({ kind }) => (kind === 'crew' ? groups.crews : groups.names);

  // A name that the edge of the view would cut stays away until all of it can be read.
  function isCut({ left, top, right, bottom }, { min, max }) {
    const isOutside = right < min.x || left > max.x || bottom < min.y || top > max.y;
    return !isOutside && (left < min.x || right > max.x || top < min.y || bottom > max.y);
  }

  // A layer of places may hold a whole state: only what is near the view stands in the page.
  function show() {
    const [near, view] = [map.getBounds().pad(0.3), map.getPixelBounds()];
    for (const name of names) {
      const isShown = name.side !== null && near.contains(name.position) && (!name.box || !isCut(name.box, view));
      if (name.mark && (!isShown || name.drawnSide !== name.side)) {
        groupOf(name).removeLayer(name.mark);
        name.mark = null;
      }
      if (!isShown || name.mark) continue;
      name.mark = nameMark(classOf(name), name.text, name.position).addTo(groupOf(name));
      name.drawnSide = name.side;
    }
  }

  function placeAll() {
    seasonMap.nameSides(crews, districts, places);
    show();
  }

  // Once for all that happens together.
  let frame = null;
  function placeSoon() {
    if (frame !== null) return;
    frame = requestAnimationFrame(() => { frame = null; placeAll(); });
  }

  if (names.length === 0) return;
  placeAll();
  map.on('zoomend resize', placeAll);
  map.on('moveend', show);
  map.on('overlayadd overlayremove', placeSoon);
  if (places.length + crews.length > 0) for (const event of ['ranking', 'order', 'shown']) seasonMap.state.on(event, placeSoon);
});
