'use strict';
// The legend: shape and words first, colour second.
seasonMap.part(() => {
  const { element, words, data, state, symbols, place, replace } = seasonMap;
  const LINES = {
    districts: { stroke: '#22303a', 'stroke-width': 1.8, 'stroke-dasharray': '9 6' },
    roads: { stroke: '#6f675c', 'stroke-width': 1.8 },
    water: { stroke: '#4f86b3', 'stroke-width': 2.6, opacity: 0.8 },
    contours: { stroke: '#7a5230', 'stroke-width': 1 },
    treatments: { stroke: '#a8480f', 'stroke-width': 2.2, 'stroke-dasharray': '2 5' },
    land_forbid: { stroke: '#a8480f', 'stroke-width': 2.4 },
    land_ask: { stroke: '#22303a', 'stroke-width': 2.2, 'stroke-dasharray': '1 6' },
    land_prefer: { stroke: '#1c2f7a', 'stroke-width': 2.2, 'stroke-dasharray': '12 4' },
  };

  function ramp() {
    const steps = symbols.RAMP.map((colour) => {
      const step = element('i');
      step.style.background = colour;
      return step;
    });
    return element('span', { class: 'ramp' },
      element('span', { class: 'low' }, words.lower), ...steps, element('span', { class: 'high' }, words.higher));
  }

  const pair = (picture, text) => [element('div', {}, element('dt', {}, picture), element('dd', {}, text))];

  function isShown(id) {
    const layer = seasonMap.layers.base(id);
    return layer !== null && seasonMap.layers.map.hasLayer(layer);
  }

  const lineName = (id) => (id === 'contours' ? seasonMap.contours.name : words.legendLines[id]);

  const GRADES = ['stop', 'caution', 'note'];
  const { map, groups } = seasonMap.layers;
  const hasFinding = (grade) => map.hasLayer(groups.findings) && data.findings.some((finding) => finding.grade === grade);

  function entries() {
    const { role } = state;
    const { releases, populations } = data.records[state.agentIndex];
    const hasGroup = (group) => state.ranking().sites.some((site) => site.group === group);
    const outcomes = Object.entries(words.legendReleases).filter(([outcome]) => releases.some((release) => release.outcome === outcome));
    return [
      ...pair(symbols.flag(role, 1, 0.9), words.legendTop[role]),
      ...pair(symbols.dot(role, 0.5), words.legendOther[role]),
      ...(hasGroup('worthScouting') ? pair(symbols.scout(), words.legendScout) : []),
      ...(hasGroup('leftOut') ? pair(symbols.cross(), words.legendOut) : []),
      ...outcomes.flatMap(([outcome, text]) => pair(symbols.release(outcome), text)),
      ...(populations.length > 0 ? pair(symbols.population(), words.population) : []),
      ...GRADES.filter(hasFinding).flatMap((grade) => pair(symbols.finding(grade), words.legendFindings[grade])),
      ...(data.crews.length > 0 ? pair(symbols.crew(), words.crewBase) : []),
      ...Object.keys(LINES).filter(isShown).flatMap((id) => pair(symbols.line(LINES[id]), lineName(id))),
    ];
  }

  const list = element('dl');
  replace(place('legend'), element('summary', {}, element('span', {}, words.legend, ramp())), list);
  place('legend').open = !seasonMap.isNarrow();
  seasonMap.lineName = lineName;
  const redraw = () => replace(list, ...entries());
  state.on('ranking', redraw);
  seasonMap.layers.map.on('overlayadd overlayremove', redraw);
});
