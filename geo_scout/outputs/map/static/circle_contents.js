'use strict';
// What lies in a circle: hectares of the host by patches, releases, confirmed populations.
seasonMap.part(() => {
  const { data, state, circleArea, geodesicCircle, geodesy } = seasonMap;
  const BOX_CORNERS = 72;
  const MARGIN = 1.01; // between the corners a circle bulges a little

  const isPlaced = (record) => typeof record.latitude_deg === 'number' && typeof record.longitude_deg === 'number';
  const { wrapped } = geodesy;

  // Most patches are far away: only those whose box in degrees meets the circle's are looked at.
  function meets(centre, radius_m) {
    const ring = geodesicCircle.ring(centre, radius_m * MARGIN, BOX_CORNERS);
    const span = (values) => [Math.min(...values), Math.max(...values)];
    const [south, north] = span(ring.map(([latitude]) => latitude));
    const [west, east] = span(ring.map(([, longitude]) => longitude - centre.longitude_deg));
    const isNear = ([outer]) => {
      const [low, high, left, right] = outer.reduce(([least, most, first, last], [latitude, longitude]) => {
        const along = wrapped(longitude - centre.longitude_deg);
        return [Math.min(least, latitude), Math.max(most, latitude), Math.min(first, along), Math.max(last, along)];
      }, [Infinity, -Infinity, Infinity, -Infinity]);
      return low <= north && high >= south && left <= east && right >= west;
    };
    return (outline) => outline.some(isNear);
  }

  const times = (hectares, share) => (typeof hectares === 'number' ? hectares * share : null);

  // The patches of the host that is shown, in whichever role, by the hectares that lie inside.
  function patches(centre, radius_m) {
    const [mayMeet, share] = [meets(centre, radius_m), circleArea.shares(centre, radius_m)];
    const found = [];
    for (const site of state.ranking().sites) {
      const outline = data.outline(state.agentIndex, site.site_id);
      if (outline.length === 0 || !mayMeet(outline)) continue;
      const part = share(outline);
      if (part > 0) found.push({ site, share: part, infested_ha: times(site.infested_ha, part), gross_ha: times(site.gross_ha, part) });
    }
    return found.sort((one, other) => (other.infested_ha ?? -1) - (one.infested_ha ?? -1));
  }

  const sum = (found, name) => found.reduce((total, one) => total + (one[name] ?? 0), 0);

  seasonMap.circleContents = (centre, radius_m) => {
    const found = patches(centre, radius_m);
    const isInside = (record) => isPlaced(record) && geodesy.inverse(centre, record).distance_m <= radius_m;
    const then = seasonMap.recordsThen();
    return {
      patches: found,
      infested_ha: sum(found, 'infested_ha'),
      gross_ha: sum(found, 'gross_ha'),
      unknown: found.filter((one) => one.infested_ha === null).length,
      releases: then.releases.filter(isInside).sort((one, other) => (String(one.date) < String(other.date) ? -1 : 1)),
      populations: then.populations.filter(isInside),
    };
  };
});
