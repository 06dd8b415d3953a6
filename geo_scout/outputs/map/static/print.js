'use strict';
// One page of paper. It is laid out when the browser is about to print, and taken away afterwards.
seasonMap.part(() => {
  const { drawing, element, numbers, words, data, state, filters, layers, place, plainButton, replace } = seasonMap;
  const { paperEdge, paperLabels, paperLegend, paperList, paperMap, paperMarks, paperPlaces, paperView } = seasonMap;
  const { season } = data;
  const MOST_QUESTIONS = 4;
  const LEAST_ROWS = 5;
  const HIGHEST_MAP_SHARE = 0.5; // of the page
  const BLEED_PX = 80; // papers that are wider or taller than the sheet show more around
  const [LATITUDES_PX, LONGITUDES_PX] = [18, 19];
  let sheet = null;

  const box = (className, ...children) => element('div', { class: className }, ...children);

  function header() {
    const agent = season.agents[state.agentIndex];
    return element('header', {},
      element('h1', {}, season.title),
      element('p', { class: 'paper-dates' }, `${words.asOf(numbers.longDate(season.as_of))} · ${words.copies[season.audience]}`),
      element('p', { class: 'paper-agent' }, words.paperRanking(words.roles[state.role], words.agentOf(agent.name, agent.host))),
      element('p', { class: 'paper-dates' }, season.start && season.end ? words.fieldwork(numbers.longDate(season.start), numbers.longDate(season.end)) : ''));
  }

  function questions() {
    const told = season.questions.slice(0, MOST_QUESTIONS).map((question) => element('li', {}, question));
    if (told.length === 0) return null;
    const rest = season.questions.length - told.length;
    return element('ul', { class: 'paper-questions' }, ...told, rest > 0 ? element('li', {}, words.paperMoreQuestions(rest)) : null);
  }

  function footer() {
    return element('footer', {}, element('p', {}, words.beforeYouGo), element('p', {}, `${season.audience_note} ${words.paperFrom}`));
  }

  function makeSheet() {
    const list = paperList();
    const parts = {
      list,
      latitudes: box('paper-latitudes'), frame: box('paper-frame'), longitudes: box('paper-longitudes'), side: box('paper-side'),
    };
    const map = box('paper-map', parts.latitudes, parts.frame, parts.longitudes, parts.side);
    const node = element('section', { class: 'paper', id: 'paper', 'aria-hidden': 'true' }, header(), questions(), map, list.node, footer());
    return { node, ...parts };
  }

  // Sites that show their ranks: those of the list, and as many more as its rows that lie beyond the map.
  function numberedOn(view, listed) {
    if (!layers.map.hasLayer(layers.groups.ranked)) return [];
    const isHere = (site) => site.latitude_deg !== null && view.isSafe(view.at(site));
    const others = filters.shownIn('ranked').filter((site) => !listed.includes(site) && isHere(site)).sort((one, other) => one.rank - other.rank);
    return [...listed.filter(isHere), ...others].slice(0, listed.length);
  }

  function paint({ list, frame, latitudes, longitudes, side }) {
    const { width, height } = frame.getBoundingClientRect();
    const view = paperView.of(Math.floor(width), Math.floor(height), BLEED_PX);
    const grid = paperEdge.gridOf(view);
    const { year } = seasonMap.season;
    const numbered = numberedOn(view, list.listed);
    const places = paperPlaces(view);
    const canvas = element('canvas');
    const painted = paperMap(canvas, view, grid);
    const marks = paperMarks(view, places, new Set(numbered.map((site) => site.site_id)));
    const labels = paperLabels.of(view, places, numbered, marks);
    const drawn = drawing('svg', { width: view.width, height: view.height }, ...marks.map(({ picture }) => picture), ...labels);
    replace(frame, box('paper-picture', canvas, drawn));
    replace(latitudes, paperEdge.latitudes(view, grid, LATITUDES_PX));
    replace(longitudes, paperEdge.longitudes(view, grid, LONGITUDES_PX));
    replace(side,
      element('dl', { class: 'paper-legend' }, ...paperLegend({ ...painted, marks, numbered, view })), paperEdge.ramp(),
      element('p', {}, year === null ? '' : words.paperYear(year)),
      box('paper-scale', paperEdge.north(), paperEdge.scale(view), element('p', {}, paperEdge.gridNote(view))));
    list.tellOutside(numbered);
  }

  const heightOf = (node) => node.getBoundingClientRect().height;

  // The list gives way until the map has its height.
  function makeRoom({ list, frame }, height) {
    while (heightOf(frame) < height && list.listed.length > LEAST_ROWS) list.drop();
  }

  // The map is as high as what it shows wants it to be, and never lower than what stands beside it.
  function fit(parts) {
    const { node, frame, side } = parts;
    const wanted = frame.getBoundingClientRect().width / paperView.shape();
    makeRoom(parts, Math.min(wanted, HIGHEST_MAP_SHARE * heightOf(node)));
    paint(parts);
    if (side.scrollHeight <= side.clientHeight) return;
    makeRoom(parts, side.scrollHeight - LONGITUDES_PX);
    if (side.scrollHeight > side.clientHeight) node.classList.add('is-tight');
    paint(parts);
  }

  function lay() {
    clear();
    sheet = makeSheet();
    document.body.append(sheet.node);
    document.documentElement.dataset.paper = 'yes';
    fit(sheet);
  }

  function clear() {
    if (sheet !== null) sheet.node.remove();
    sheet = null;
    delete document.documentElement.dataset.paper;
  }

  window.addEventListener('beforeprint', lay);
  window.addEventListener('afterprint', clear);
  if (typeof window.print === 'function') {
    const button = plainButton(words.print, () => window.print());
    button.id = 'print';
    place('page-tools').prepend(button);
  }
});
