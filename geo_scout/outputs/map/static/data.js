'use strict';
// Reads the data element and makes of its columns what the other scripts use.
(() => {
  function read() {
    return JSON.parse(seasonMap.place('season-data').textContent);
  }

  function begin(raw, then) {
    seasonMap.raw = raw;
    seasonMap.longitudes.drawAll(raw);
    then();
  }

  // Large seasons travel packed, and unpacking takes its time; small ones are there at once.
  seasonMap.readData = (then) => {
    const block = read();
    if (block.packed === undefined) {
      begin(block, then);
      return;
    }
    seasonMap.unpack(block.packed).then((columns) => {
      begin(seasonMap.putTogether(columns), then);
    }).catch((problem) => {
      const told = typeof DecompressionStream === 'undefined' ? seasonMap.words.cannotUnpack : seasonMap.words.cannotRead(String(problem));
      seasonMap.replace(seasonMap.place('panels'), seasonMap.element('p', { class: 'empty' }, told));
    });
  };
})();

seasonMap.part(() => {
  const data = seasonMap.raw;

  function rows(columns) {
    const names = Object.keys(columns);
    if (names.length === 0) return [];
    return columns[names[0]].map((_, index) => Object.fromEntries(names.map((name) => [name, columns[name][index]])));
  }

  const patchesOf = (agentIndex) => data.patches.find((one) => one.host === data.agents[agentIndex].host) || null;

  // Each ranking's sites are made when it is first shown.
  const made = new Map();
  function ranking(agentIndex, role) {
    const key = `${agentIndex} ${role}`;
    if (!made.has(key)) {
      const found = data.rankings.find((one) => one.agent === data.agents[agentIndex].name && one.role === role);
      made.set(key, seasonMap.rankingOf(found, patchesOf(agentIndex)));
    }
    seasonMap.weights.apply(made.get(key));
    return made.get(key);
  }

  // Place of each site among its host's patches, which outlines and presence are written in.
  const placesOf = new Map();
  function patchNumber(agentIndex, siteId) {
    const patches = patchesOf(agentIndex);
    if (patches === null) return -1;
    if (!placesOf.has(patches)) placesOf.set(patches, new Map(patches.site_id.map((one, index) => [one, index])));
    return placesOf.get(patches).get(siteId) ?? -1;
  }

  // [longitude, latitude, longitude, latitude ...] to Leaflet's [[latitude, longitude] ...]
  function positions(ring) {
    const pairs = [];
    for (let index = 0; index < ring.length; index += 2) pairs.push([ring[index + 1], ring[index]]);
    return pairs;
  }

  function outline(agentIndex, siteId) {
    const number = patchNumber(agentIndex, siteId);
    if (number < 0) return [];
    const patches = patchesOf(agentIndex);
    if (patches.polygons.polygonStart) return seasonMap.outlineOf(patches.polygons, number);
    return patches.polygons[number].map((polygon) => polygon.map(positions));
  }

  // Whether the agent lives in each patch is the same for both rankings, so it is written once.
  function presence(agentIndex, siteId) {
    const told = data.presence[agentIndex];
    const index = patchNumber(agentIndex, siteId);
    if (!told.state || index < 0) return null;
    const text = (name) => told[name].texts[told[name].row[index]];
    return {
      state: text('state'), year: told.year[index], basis: text('basis'),
      low: told.percent[0][index], best: told.percent[1][index], high: told.percent[2][index],
      population: text('population'), population_km: told.population_km[index], gap_crossed: text('gap_crossed'),
    };
  }

  seasonMap.data = {
    season: data,
    rows,
    crews: rows(data.crews),
    districts: rows(data.districts),
    places: rows(data.places),
    findings: rows(data.findings),
    records: data.records.map((record) => ({
      releases: rows(record.releases), visits: rows(record.visits), populations: rows(record.populations),
    })),
    ranking,
    outline,
    patchesOf,
    patchNumber,
    presence,
    requests: (agentIndex, siteId) => data.requests[agentIndex][siteId] || [],
  };
});
