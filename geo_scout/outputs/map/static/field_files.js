'use strict';
// What can be saved from the page: notes as visits of the register, and the shown sites.
seasonMap.part(() => {
  const { csvText, gpxText, plainText } = seasonMap;
  const CSV = 'text/csv;charset=utf-8';
  const GEOJSON = 'application/geo+json';
  const GPX = 'application/gpx+xml';

  // The names by which a season reads [layers.visits]; the last three say more and are left alone by it.
  const VISIT = [
    'visit_id', 'release_id', 'agent', 'date', 'result', 'method', 'effort_hours', 'sign', 'life_stage', 'count', 'observer',
    'longitude_deg', 'latitude_deg', 'coordinate_uncertainty_m', 'site_id', 'site_name', 'note',
  ];
  const POSITION = ['longitude_deg', 'latitude_deg'];
  const SITE = [
    'rank', 'plan_rank', 'site_id', 'name', 'agent', 'role', 'status', 'score_low', 'score_high', 'weights',
    'latitude_deg', 'longitude_deg', 'utm_zone', 'easting_m', 'northing_m', 'gross_ha', 'infested_ha', 'cover_pct',
    'district', 'manager', 'permission', 'survey_date', 'window_scout', 'window_opens', 'window_peaks', 'window_closes',
    'best_source_site_id', 'reasons', 'what_would_change_it', 'cautions',
  ];

  const isThere = (value) => value !== null && value !== undefined && value !== '';
  const isPlaced = (row) => isThere(row.latitude_deg) && isThere(row.longitude_deg);

  // A visit is a note of somebody who looked.
  const visitsAmong = (notes) => notes.filter((note) => note.result === 'found' || note.result === 'not found');

  function feature(note) {
    const told = VISIT.filter((name) => !POSITION.includes(name)).map((name) => [name, isThere(note[name]) ? note[name] : null]);
    const properties = Object.fromEntries(told.map(([name, value]) => [name, typeof value === 'string' ? plainText(value) : value]));
    const geometry = isPlaced(note) ? { type: 'Point', coordinates: [note.longitude_deg, note.latitude_deg] } : null;
    return { type: 'Feature', id: properties.visit_id, properties, geometry };
  }

  const geojson = (notes) => `${JSON.stringify({ type: 'FeatureCollection', features: notes.map(feature) }, null, 1)}\n`;

  const siteRow = (site, weights) => {
    const longitude_deg = isThere(site.longitude_deg) ? seasonMap.longitudes.told(site.longitude_deg) : site.longitude_deg;
    return Object.fromEntries(SITE.map((name) => [name, { weights, longitude_deg }[name] ?? site[name]]));
  };

  // Each: {name, type, text}. day: YYYY-MM-DD.
  seasonMap.fieldFiles = {
    visitsAmong,
    visitsCsv: (notes, day) => ({ name: `visits_${day}.csv`, type: CSV, text: csvText(VISIT, visitsAmong(notes)) }),
    visitsGeojson: (notes, day) => ({ name: `visits_${day}.geojson`, type: GEOJSON, text: geojson(visitsAmong(notes)) }),
    notesCsv: (notes, day) => ({ name: `all_notes_${day}.csv`, type: CSV, text: csvText(VISIT, notes) }),
    sitesCsv: (sites, role, weights, day) => ({
      name: `${role}_sites_${day}.csv`, type: CSV, text: csvText(SITE, sites.map((site) => siteRow(site, weights))),
    }),
    sitesGpx: (sites, role, title, tell, day) => ({
      name: `${role}_sites_${day}.gpx`,
      type: GPX,
      text: gpxText(title, sites.filter(isPlaced).map((site) => ({ latitude_deg: site.latitude_deg, longitude_deg: site.longitude_deg, ...tell(site) }))),
    }),
  };
});
