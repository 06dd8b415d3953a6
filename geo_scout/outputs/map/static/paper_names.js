'use strict';
// Names and heights over the printed map: of crew bases, districts, places and contour lines.
seasonMap.part(() => {
  const { drawing, data, layers } = seasonMap;
  const { map, groups } = layers;
  const [SIZE_PX, HIGH_PX, MOST_PX] = [12, 15, 170];
  const DOT_PX = 2;

  const context = document.createElement('canvas').getContext('2d');
  function width(text, size, weight) {
    context.font = `${weight} ${size}px ${getComputedStyle(document.body).fontFamily}`;
    return context.measureText(text).width;
  }

  // Names can be of any length; the map has room for so much of them.
  function fitted(text, weight) {
    const most = text.slice(0, 80);
    if (most === text && width(text, SIZE_PX, weight) <= MOST_PX) return text;
    let length = 1;
    while (length < most.length && width(`${most.slice(0, length + 1)}…`, SIZE_PX, weight) <= MOST_PX) length += 1;
    return `${most.slice(0, length).trimEnd()}…`;
  }

  const write = (said, [x, y], weight, kind, more = {}) => drawing('text', {
    class: `paper-name of-${kind}`, x, y: y + 4, 'text-anchor': 'middle', 'font-size': SIZE_PX, 'font-weight': weight, ...more,
  }, said);

  // offsets: [east, south] of the place, the best first
  function candidates(said, [x, y], weight, offsetsOf) {
    const across = width(said, SIZE_PX, weight) + 6;
    return offsetsOf(across).map(([east, south], order) => ({ box: seasonMap.paperBox([x + east, y + south], across, HIGH_PX), to: [x + east, y + south], away: 4 * order }));
  }

  const byLength = (one, other) => Math.hypot(...one) - Math.hypot(...other);
  const NEARBY = [0, 15, -15, 30, -30, 45, -45, 60, -60].flatMap((south) => [0, 25, -25, 50, -50, 75, -75].map((east) => [east, south])).sort(byLength);

  // To the right of a mark, its left, under it and over it.
  const beside = (reach) => (across) => [[across / 2 + reach, 0], [-across / 2 - reach, 0], [0, reach + 7], [0, -reach - 7]];
  // And then further round.
  function around(across) {
    const aside = across / 2 + 10;
    const further = [8, -8, 14, -14].flatMap((south) => [[aside - 2, south], [2 - aside, south]]);
    const last = [19, -19].flatMap((south) => [0.25, -0.25, 0.5, -0.5].map((share) => [share * across, south]));
    return [...beside(10)(across), ...further, ...last];
  }

  // These stand wherever they cover least.
  function name(places, text, at, weight, kind, offsetsOf) {
    const said = fitted(text, weight);
    return write(said, places.best(candidates(said, at, weight, offsetsOf)).to, weight, kind);
  }

  // The markers of the screen that have a class, with their texts and where they lie.
  function textsOf(group, className) {
    const found = [];
    group.eachLayer((marker) => {
      const icon = marker.options.icon && marker.options.icon.options;
      if (icon && icon.html && icon.className.split(' ')[0] === className) found.push({ node: icon.html, place: marker.getLatLng() });
    });
    return found;
  }

  const inSight = (view, found) => found.map(({ node, place }) => ({ node, at: [view.x(place.lng), view.y(place.lat)] })).filter(({ at }) => view.isSafe(at));

  // Towns, passes and tops the screen has room for, where there is room on paper.
  function placeNames(view, places) {
    return inSight(view, textsOf(groups.names, 'place-name')).flatMap(({ node, at }) => {
      const said = fitted(node.textContent, 400);
      const found = places.free(candidates(said, at, 400, beside(DOT_PX + 3)));
      return found === null ? [] : [drawing('circle', { class: 'place-dot', cx: at[0], cy: at[1], r: DOT_PX }), write(said, found.to, 400, 'place')];
    });
  }

  // Heights as the screen has them along its contour lines.
  function heights(view, places) {
    return inSight(view, textsOf(map, 'contour-height')).flatMap(({ node, at: [x, y] }) => {
      const said = node.textContent;
      const turn = Number((/rotate\((-?[\d.e-]+)rad\)/.exec(node.style.transform) || [0, 0])[1]);
      const long = width(said, SIZE_PX, 400);
      const [across, down] = [Math.abs(Math.cos(turn)), Math.abs(Math.sin(turn))];
      const box = seasonMap.paperBox([x, y], long * across + HIGH_PX * down, long * down + HIGH_PX * across);
      const transform = `rotate(${((turn * 180) / Math.PI).toFixed(2)} ${x.toFixed(2)} ${y.toFixed(2)})`;
      return places.free([{ box }]) === null ? [] : [write(said, [x, y], 400, 'height', { transform })];
    });
  }

  seasonMap.paperText = { width };

  seasonMap.paperNames = (view, places, marks) => {
    const isOn = map.hasLayer(groups.names);
    const crews = marks.filter(({ crew }) => crew && crew.name && view.isSafe(view.at(crew)));
    const districts = isOn ? data.districts.filter((one) => one.district && view.isSafe(view.at(one))) : [];
    return [
      ...crews.map(({ crew }) => name(places, crew.name, view.at(crew), 600, 'crew', around)),
      ...districts.map((one) => name(places, one.district, view.at(one), 400, 'district', () => NEARBY)),
      ...(isOn ? placeNames(view, places) : []),
      ...heights(view, places),
    ];
  };
});
