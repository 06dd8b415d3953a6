'use strict';
// One frame of longitude for drawing, in which both sides of the 180th meridian lie beside each other.
(() => {
  const TURN_DEG = 360;
  const STEPS_PER_DEG = 1e5; // of packed outlines

  // The same meridian within half a turn of a centre. Only what lies further away is changed, so that no other value loses its last bit.
  function near(longitude, centre, turn) {
    const off = longitude - centre;
    const turns = Math.ceil((Math.abs(off) - turn / 2) / turn);
    return turns > 0 ? longitude - Math.sign(off) * turns * turn : longitude;
  }

  // The map opens at the season's centre.
  const centre_deg = () => L.latLng(map_season.options.center).lng;

  // As it is drawn: at most half a turn from the season's centre, so beyond 180 degrees where the season lies across that meridian.
  const drawn = (longitude_deg) => near(longitude_deg, centre_deg(), TURN_DEG);

  // As it is printed and saved: from -180 to 180. A turn there and back costs the last bits, which no reader is shown.
  function told(longitude_deg) {
    const within = near(longitude_deg, 0, TURN_DEG);
    return within === longitude_deg ? longitude_deg : Number(within.toFixed(9));
  }

  function move(values, first, step, centre, turn) {
    for (let at = first; at < values.length; at += step) if (values[at] !== null) values[at] = near(values[at], centre, turn);
  }

  const columnsWithPlaces = (raw) => [
    ...raw.rankings.map(({ columns }) => columns),
    ...raw.patches.flatMap((patches) => (patches.of_patch ? [patches.of_patch.columns] : [])),
    ...raw.records.flatMap(({ releases, populations }) => [releases, populations]),
    raw.crews, raw.districts, raw.places, raw.findings,
  ];

  // Brings everything the data has a place for into the frame.
  function drawAll(raw) {
    const centre = centre_deg();
    for (const { longitude_deg } of columnsWithPlaces(raw)) if (longitude_deg) move(longitude_deg, 0, 1, centre, TURN_DEG);
    for (const { polygons } of raw.patches) {
      if (polygons.polygonStart) move(polygons.longitude, 0, 1, centre * STEPS_PER_DEG, TURN_DEG * STEPS_PER_DEG);
      else for (const ring of polygons.flat(2)) move(ring, 0, 2, centre, TURN_DEG);
    }
  }

  seasonMap.longitudes = { drawn, told, drawAll };
})();
