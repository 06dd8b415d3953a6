'use strict';
// Places as GPX 1.1 waypoints, which hand-held receivers and phones read.
seasonMap.part(() => {
  const { plainText } = seasonMap;
  // The format's own name. It looks like an address, and the page is checked to hold none.
  const FORMAT = ['http:', '', 'www.topografix.com', 'GPX', '1', '1'].join('/');
  const SIGNS = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };

  const escaped = (text) => plainText(text).replace(/[&<>"]/g, (sign) => SIGNS[sign]);
  const tag = (name, text) => (text ? `<${name}>${escaped(text)}</${name}>` : '');

  // Longitudes reach from -180 to less than 180.
  function east(longitude_deg) {
    const told = seasonMap.longitudes.told(longitude_deg).toFixed(6);
    return told === '180.000000' ? '-180.000000' : told;
  }

  // The format prescribes the order of what a waypoint holds.
  function waypoint({ latitude_deg, longitude_deg, name, desc, type }) {
    return `<wpt lat="${latitude_deg.toFixed(6)}" lon="${east(longitude_deg)}">${tag('name', name)}${tag('desc', desc)}${tag('type', type)}</wpt>`;
  }

  seasonMap.gpxText = (title, places) => [
    '<?xml version="1.0" encoding="UTF-8"?>',
    `<gpx version="1.1" creator="geo_scout" xmlns="${FORMAT}">`,
    `<metadata>${tag('name', title)}</metadata>`,
    ...places.map(waypoint),
    '</gpx>',
    '',
  ].join('\n');
});
