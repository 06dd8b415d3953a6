'use strict';
// The legend of the printed map: what is drawn there, and nothing else.
seasonMap.part(() => {
  const { drawing, element, words, state, symbols, paperLabels, paperMap, paperMarks } = seasonMap;
  const LINE_SHARE = 0.75;
  const LEAST_OPACITY = 0.6; // lines that step back on the map can be seen in the legend
  const GRADES = ['stop', 'caution', 'note'];

  const svg = (width, height, ...parts) => drawing('svg', { width, height, viewBox: `0 0 ${width} ${height}`, 'aria-hidden': 'true' }, ...parts);

  function small(picture, share) {
    for (const name of ['width', 'height']) picture.setAttribute(name, Number(picture.getAttribute(name)) * share);
    return picture;
  }

  // A line, or the edge and the filling of an area, as Leaflet was told to draw it.
  function sample(id, options) {
    const dash = String(options.dashArray || '').split(/[ ,]+/).filter(Boolean).map((length) => Number(length) * LINE_SHARE).join(' ');
    const line = { stroke: options.color, 'stroke-width': options.weight * LINE_SHARE, 'stroke-dasharray': dash || null, opacity: Math.max(LEAST_OPACITY, options.opacity) };
    if (paperMap.isCrossedOut(id)) {
      const crosses = drawing('path', { ...line, 'stroke-width': 0.8, fill: 'none', d: 'M1 8L8 1M3 15L17 1M12 15L26 1M21 15l6-6M1 8l7 7M3 1l14 14M12 1l14 14M21 1l6 6' });
      return svg(28, 16, crosses, drawing('rect', { ...line, x: 1, y: 1, width: 26, height: 14, fill: 'none' }));
    }
    return options.fill
      ? svg(28, 12, drawing('rect', { ...line, x: 1, y: 1, width: 26, height: 10, fill: options.fillColor || options.color, 'fill-opacity': options.fillOpacity }))
      : svg(28, 8, drawing('path', { ...line, d: 'M0 4h28', fill: 'none' }));
  }

  function textured(lines, attributes) {
    return svg(24, 12, drawing('rect', { x: 1, y: 1, width: 22, height: 10, fill: '#ffffff', 'stroke-width': 0.9, ...attributes }), ...lines);
  }
  const hatched = () => textured([drawing('path', { class: 'hatching', d: 'M2 6l5-5M3 11L13 1M9 11L19 1M15 11l8-8' })], { class: 'hatched' });
  const dotted = () => textured([4, 9, 14, 19].flatMap((x, at) => [drawing('circle', { cx: x, cy: at % 2 ? 4 : 8, r: 1 })]), { class: 'dotted' });

  // What a line is called; layers that others add have at least a name in the layer switch.
  const lineName = (id) => seasonMap.lineName(id) || (words.baseNames || {})[id] || null;

  function recordEntries(marks) {
    const has = (kind, picture) => marks.some((mark) => mark.kind === kind && mark.original.isEqualNode(picture));
    const entries = Object.entries(words.legendReleases).map(([outcome, said]) => ['releases', symbols.release(outcome), said]);
    entries.push(['populations', symbols.population(), words.population]);
    entries.push(...GRADES.map((grade) => ['findings', symbols.finding(grade), words.legendFindings[grade]]));
    return entries.filter(([kind, picture]) => has(kind, picture)).map(([, picture, said]) => [small(picture, 0.75), said]);
  }

  function entries({ marks, numbered, base, patches, view }) {
    const { role } = state;
    const has = (kind) => marks.some((mark) => mark.kind === kind);
    const chosen = state.siteId === null ? null : state.site(state.siteId);
    const isNumbered = numbered.includes(chosen);
    const isRinged = chosen !== null && !isNumbered && chosen.latitude_deg !== null && view.isSafe(view.at(chosen));
    return [
      numbered.length > 0 && [svg(24, 20, paperLabels.badge(role, 1, 0.9, [12, 10], false)), words.legendTop[role]],
      isNumbered && [svg(32, 27, paperLabels.badge(role, 1, 0.9, [16, 13.5], true)), words.paperChosen],
      isRinged && [svg(22, 22, paperLabels.ring([11, 11])), words.paperChosen],
      (has('dot') || patches.ranked > paperMarks.MOST) && [small(symbols.dot(role, 0.5), 0.75), words.legendOther[role]],
      has('worthScouting') ? [small(symbols.scout(), 0.8), words.legendScout] : patches.worthScouting > 0 && [dotted(), words.legendScout],
      has('leftOut') ? [small(symbols.cross(), 0.75), words.legendOut] : patches.leftOut > 0 && [hatched(), words.legendOut],
      ...recordEntries(marks),
      has('crews') && [small(symbols.crew(), 0.75), words.crewBase],
      ...[...base].filter(([id]) => lineName(id)).map(([id, options]) => [sample(id, options), lineName(id)]),
    ].filter(Boolean);
  }

  seasonMap.paperLegend = (drawn) => entries(drawn).map(([picture, said]) => element('div', {}, element('dt', {}, picture), element('dd', {}, said)));
});
