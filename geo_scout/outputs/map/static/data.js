'use strict';
// Turns the columns of the data element into rows the other scripts use.
(() => {
  const data = JSON.parse(seasonMap.place('season-data').textContent);

  function rows(columns) {
    const names = Object.keys(columns);
    if (names.length === 0) return [];
    return columns[names[0]].map((_, index) => Object.fromEntries(names.map((name) => [name, columns[name][index]])));
  }

  function group(site) {
    if (site.status === 'ranked') return 'ranked';
    return site.worth_scouting ? 'worthScouting' : 'leftOut';
  }

  function sentences(reasons) {
    const told = (reasons || '').split(seasonMap.words.reasonBegins).map((reason) => reason.trim()).filter(Boolean);
    return told.map((reason) => reason.charAt(0).toUpperCase() + reason.slice(1));
  }

  // A text that many sites share is written once; each site has its number.
  function shared(ranking, index) {
    return Object.fromEntries(Object.entries(ranking.shared).map(([name, { texts, row }]) => [name, texts[row[index]]]));
  }

  // The visits worth something, by site.
  function visits(ranking) {
    const { site_id: siteIds, ...texts } = ranking.scouting;
    return new Map((siteIds || []).map((siteId, index) => [siteId, Object.fromEntries(
      Object.entries(texts).map(([name, once]) => [name, once.texts[once.row[index]]]))]));
  }

  function rankingRows(ranking) {
    const worth = visits(ranking);
    const { measures, points, ...plain } = ranking.columns;
    return rows(plain).map((site, index) => ({
      ...site,
      ...shared(ranking, index),
      toBeSeen: ranking.to_be_seen,
      scouting: worth.get(site.site_id) || null,
      group: group(site),
      whyOut: sentences(site.reasons),
      role: ranking.role,
      agent: ranking.agent,
      combination: ranking.combination || '',
      parts: ranking.criteria.map((criterion, column) => ({
        ...criterion,
        measure: measures[column][index],
        points: points[column][index],
        note: (ranking.notes[criterion.name] || {})[site.site_id] || '',
      })),
    }));
  }

  const rankings = data.rankings.map((ranking) => ({ ...ranking, sites: rankingRows(ranking) }));
  const outlines = new Map(data.patches.map((patches) => [
    patches.host, new Map(patches.site_id.map((siteId, index) => [siteId, patches.polygons[index]])),
  ]));

  // Whether the agent lives in each patch is the same for both rankings, so it is written once.
  const presences = data.presence.map((told, agentIndex) => {
    const found = new Map();
    const patches = data.patches.find((one) => one.host === data.agents[agentIndex].host);
    if (!told.state || !patches) return found;
    const text = (name, index) => told[name].texts[told[name].row[index]];
    patches.site_id.forEach((siteId, index) => found.set(siteId, {
      state: text('state', index), year: told.year[index], basis: text('basis', index),
      low: told.percent[0][index], best: told.percent[1][index], high: told.percent[2][index],
      population: text('population', index), population_km: told.population_km[index], gap_crossed: text('gap_crossed', index),
    }));
    return found;
  });

  // [longitude, latitude, longitude, latitude ...] to Leaflet's [[latitude, longitude] ...]
  function positions(ring) {
    const pairs = [];
    for (let index = 0; index < ring.length; index += 2) pairs.push([ring[index + 1], ring[index]]);
    return pairs;
  }

  seasonMap.data = {
    season: data,
    crews: rows(data.crews),
    districts: rows(data.districts),
    findings: rows(data.findings),
    records: data.records.map((record) => ({
      releases: rows(record.releases), visits: rows(record.visits), populations: rows(record.populations),
    })),
    ranking: (agentIndex, role) => rankings.find((one) => one.agent === data.agents[agentIndex].name && one.role === role),
    outline: (agentIndex, siteId) => {
      const found = (outlines.get(data.agents[agentIndex].host) || new Map()).get(siteId) || [];
      return found.map((polygon) => polygon.map(positions));
    },
    presence: (agentIndex, siteId) => presences[agentIndex].get(siteId) || null,
    requests: (agentIndex, siteId) => data.requests[agentIndex][siteId] || [],
  };
})();
