'use strict';
// The letters of two compared sites on the map, both in sight when they are chosen.
seasonMap.part(() => {
  const { element, words, layers } = seasonMap;
  const { map } = layers;
  const ROOM_PX = 60; // around both sites, for flags and letters
  const CLOSEST_ZOOM = 13;
  const drawn = L.layerGroup().addTo(map);
  const latlng = (site) => L.latLng(site.latitude_deg, site.longitude_deg);

  function letter(site, number) {
    const icon = L.divIcon({ className: 'compare-mark', html: element('span', {}, words.compareMarks[number]), iconSize: [0, 0] });
    return L.marker(latlng(site), { icon, pane: 'field', interactive: false, keyboard: false });
  }

  // sites: A and B, or none.
  seasonMap.compareMarks = (sites) => {
    drawn.clearLayers();
    const placed = sites.map((site, number) => ({ site, number })).filter(({ site }) => site.latitude_deg !== null);
    for (const { site, number } of placed) drawn.addLayer(letter(site, number));
    const bounds = L.latLngBounds(placed.map(({ site }) => latlng(site)));
    if (placed.length === 2 && !map.getBounds().contains(bounds)) map.fitBounds(bounds, { padding: [ROOM_PX, ROOM_PX], maxZoom: CLOSEST_ZOOM, animate: false });
  };
});
