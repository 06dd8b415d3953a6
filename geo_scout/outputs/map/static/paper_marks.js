'use strict';
// The small symbols over the printed map: sites left out, lower ranks, records and crew bases.
seasonMap.part(() => {
  const { data, state, symbols, layers, filters } = seasonMap;
  const { map, groups } = layers;
  const MOST_MARKS = 400; // of more, the patches say enough
  const SHARES = { leftOut: 0.55, worthScouting: 0.75, dot: 0.6, records: 0.66, crews: 0.75 }; // of their size on the screen
  const WEIGHTS = { leftOut: 0.6, worthScouting: 2, dot: 2, records: 2, crews: 4 }; // how little of them may be covered

  const isOn = (name) => map.hasLayer(groups[name]);
  const isPlaced = (place) => place.latitude_deg !== null && place.latitude_deg !== undefined;

  // anchor: the point of the symbol that lies on its place
  function put(places, kind, picture, [x, y], anchor) {
    const [width, height] = ['width', 'height'].map((name) => Number(picture.getAttribute(name)));
    const [anchorX, anchorY] = anchor || [width / 2, height / 2];
    const share = SHARES[kind];
    const [left, top] = [x - anchorX * share, y - anchorY * share];
    for (const [name, value] of Object.entries({ x: left, y: top, width: width * share, height: height * share })) picture.setAttribute(name, value.toFixed(2));
    places.take({ left, top, right: left + width * share, bottom: top + height * share }, WEIGHTS[kind]);
    return picture;
  }

  const inSight = (view, list) => list.filter((place) => isPlaced(place) && view.bounds.contains([place.latitude_deg, place.longitude_deg]));

  function sites(view, places, kind, picture, found) {
    const seen = inSight(view, found);
    const drawn = seen.length > MOST_MARKS ? seen.filter((site) => site.site_id === state.siteId) : seen;
    return drawn.map((site) => ({ kind, picture: put(places, kind, picture(site), view.at(site)) }));
  }

  // Records stand as the screen has them now, whatever put them there.
  function records(view, places, name) {
    const drawn = [];
    if (!isOn(name)) return drawn;
    groups[name].eachLayer((marker) => {
      const { html: original, iconAnchor } = marker.options.icon.options;
      const { lat, lng } = marker.getLatLng();
      if (!view.bounds.contains([lat, lng])) return;
      drawn.push({ kind: name, original, picture: put(places, 'records', original.cloneNode(true), [view.x(lng), view.y(lat)], iconAnchor) });
    });
    return drawn;
  }

  // numbered: ids of the sites that have their rank beside them instead
  seasonMap.paperMarks = (view, places, numbered) => {
    const of = (group) => (isOn(group) ? filters.shown().filter((site) => site.group === group) : []);
    const lower = of('ranked').filter((site) => !numbered.has(site.site_id)).sort((one, other) => other.rank - one.rank);
    const crews = isOn('crews') ? inSight(view, data.crews) : [];
    return [
      ...sites(view, places, 'leftOut', symbols.cross, of('leftOut')),
      ...sites(view, places, 'worthScouting', symbols.scout, of('worthScouting')),
      ...sites(view, places, 'dot', (site) => symbols.dot(site.role, site.score_low), lower),
      ...['releases', 'populations', 'findings'].flatMap((name) => records(view, places, name)),
      ...crews.map((crew) => ({ kind: 'crews', crew, picture: put(places, 'crews', symbols.crew(), view.at(crew)) })),
    ];
  };
  seasonMap.paperMarks.MOST = MOST_MARKS;
});
