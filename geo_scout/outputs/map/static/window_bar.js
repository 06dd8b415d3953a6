'use strict';
// A small bar that shows a site's window over the season, so that the list reads as a calendar.
seasonMap.part(() => {
  const { element, words, numbers, data, state, season } = seasonMap;
  const DAY_MS = 86_400_000;
  const NAME_LETTERS = 3;
  const NAME_GAP_PX = 6;
  const SHORTEST_MONTH = 28 / 30.5; // beside the mean one
  const DATES = ['window_scout', 'window_opens', 'window_peaks', 'window_closes', 'window_opens_early', 'window_opens_late'];

  const dayOf = (text) => Date.parse(`${text}T00:00:00Z`) / DAY_MS;
  const isThere = (value) => value !== null && value !== undefined && value !== '';

  // Whole months that hold the season and every window of the agent, in days since 1970.
  const spans = new Map();
  function span() {
    if (!spans.has(state.agentIndex)) spans.set(state.agentIndex, measureSpan());
    return spans.get(state.agentIndex);
  }

  function measureSpan() {
    let [least, most] = [null, null]; // dates in this form are in order as texts
    const hold = (date) => {
      if (!isThere(date)) return;
      if (least === null || date < least) least = date;
      if (most === null || date > most) most = date;
    };
    [data.season.start, data.season.end].forEach(hold);
    for (const role of ['release', 'source']) {
      for (const site of data.ranking(state.agentIndex, role).sites) {
        for (const name of DATES) hold(site[name]);
      }
    }
    if (least === null) return null;
    const [first, last] = [new Date(`${least}T00:00:00Z`), new Date(`${most}T00:00:00Z`)];
    return {
      from: Date.UTC(first.getUTCFullYear(), first.getUTCMonth(), 1) / DAY_MS,
      to: Date.UTC(last.getUTCFullYear(), last.getUTCMonth() + 1, 1) / DAY_MS,
    };
  }

  const percent = (day, { from, to }) => (100 * (day - from)) / (to - from);

  function piece(name, first, last, whole) {
    const node = element('i', { class: name });
    node.style.left = `${percent(first, whole).toFixed(2)}%`;
    if (last !== null) node.style.width = `${(percent(last, whole) - percent(first, whole)).toFixed(2)}%`;
    return node;
  }

  const isDated = (site) => isThere(site.window_opens) && isThere(site.window_closes);

  function told(site, day) {
    const peak = isThere(site.window_peaks) ? words.windowPeaks(numbers.dayAndMonth(site.window_peaks)) : '';
    const dates = words.windowTold(numbers.dayAndMonth(site.window_opens), numbers.dayAndMonth(site.window_closes), peak);
    return day ? dates + words.windowOnDay(numbers.dayAndMonth(day), season.isOpen(site, day)) : dates;
  }

  // The bar of one site with a line for the chosen day; null where its window has no dates.
  function windowBar(site, { day = season.day } = {}) {
    const whole = span();
    if (whole === null || !isDated(site)) return null;
    // A day lasts until the next begins.
    const [opens, closes] = [dayOf(site.window_opens), dayOf(site.window_closes) + 1];
    const scout = isThere(site.window_scout) ? dayOf(site.window_scout) : opens;
    const [early, late] = [site.window_opens_early, site.window_opens_late];
    const line = day ? dayOf(day) + 0.5 : null;
    return element('span', { class: 'window-bar' },
      element('span', { class: 'spoken' }, told(site, day)),
      element('span', { class: 'window-track', 'aria-hidden': 'true' },
        scout < opens ? piece('before', scout, opens, whole) : null,
        piece('open', opens, closes, whole),
        isThere(early) && isThere(late) && early < late ? piece('doubt', dayOf(early), dayOf(late) + 1, whole) : null,
        isThere(site.window_peaks) ? piece('peak', dayOf(site.window_peaks) + 0.5, null, whole) : null,
        line !== null && line > whole.from && line < whole.to ? piece('today', line, null, whole) : null));
  }

  // As many names of months as there is room for: all, or every second, third, fourth, sixth, twelfth.
  function fitNames(axis) {
    const names = [...axis.querySelectorAll('.month span')];
    const [room, month] = [axis.clientWidth, axis.clientWidth / names.length];
    const widest = Math.max(...names.map((name) => name.offsetWidth)) + NAME_GAP_PX;
    const every = [1, 2, 3, 4, 6].find((count) => count * month * SHORTEST_MONTH >= widest) || 12;
    names.forEach((name, number) => {
      const isWhole = name.parentElement.offsetLeft + name.offsetLeft + name.offsetWidth <= room;
      name.classList.toggle('is-unsaid', number % every !== 0 || !isWhole);
    });
  }

  const watched = new ResizeObserver((sizes) => sizes.forEach(({ target }) => {
    if (target.isConnected) fitNames(target); else watched.unobserve(target);
  }));

  // The months above the bars.
  windowBar.axis = () => {
    const whole = span();
    if (whole === null) return null;
    const months = [];
    for (let day = whole.from; day < whole.to;) {
      const first = new Date(day * DAY_MS);
      const name = words.months[first.getUTCMonth()].slice(0, NAME_LETTERS);
      const month = piece('month', day, null, whole);
      month.append(element('span', {}, name));
      months.push(month);
      day = Date.UTC(first.getUTCFullYear(), first.getUTCMonth() + 1, 1) / DAY_MS;
    }
    const axis = element('span', { class: 'window-axis' }, ...months);
    watched.observe(axis);
    return axis;
  };

  // What each part of a bar means.
  windowBar.key = () => element('dl', { class: 'window-key' }, ...Object.entries(words.windowKey).map(([name, said]) => element('div', {},
    element('dt', {}, element('span', { class: 'window-track', 'aria-hidden': 'true' }, element('i', { class: name }))),
    element('dd', {}, said))));

  windowBar.span = span;
  windowBar.dayOf = dayOf;
  windowBar.textOf = (day) => new Date(day * DAY_MS).toISOString().slice(0, 10);
  windowBar.isDated = isDated;
  seasonMap.windowBar = windowBar;
});
