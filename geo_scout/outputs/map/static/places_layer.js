'use strict';
// Crew bases and district names: the same for every agent.
seasonMap.part(() => {
  const { data, element, symbols, layers } = seasonMap;
  const { groups } = layers;

  function nameIcon(className, name) {
    return L.divIcon({ className, html: element('span', {}, name || ''), iconSize: [0, 0] });
  }

  for (const crew of data.crews) {
    const position = [crew.latitude_deg, crew.longitude_deg];
    const mark = L.marker(position, { icon: symbols.icon(symbols.crew(), 'crew-mark'), pane: 'records', keyboard: false, zIndexOffset: 8000 });
    mark.on('click', () => seasonMap.popup.showRecord(mark.getLatLng(), seasonMap.recordCard.crew(crew)));
    mark.addTo(groups.crews);
    L.marker(position, { icon: nameIcon('crew-name', crew.name), pane: 'names', interactive: false, keyboard: false }).addTo(groups.crews);
  }

  for (const district of data.districts) {
    L.marker([district.latitude_deg, district.longitude_deg], {
      icon: nameIcon('district-name', district.district), pane: 'names', interactive: false, keyboard: false,
    }).addTo(groups.names);
  }
});
