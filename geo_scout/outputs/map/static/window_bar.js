'use strict';
// A small bar that shows a site's window over the season, so that the list reads as a calendar.
seasonMap.part(() => {
  const { element, words, numbers, data, state } = seasonMap;
  const DAY_MS = 86_400_000;
  const DATES = ['window_scout', 'window_opens', 'window_closes', 'window_opens_early', 'window_opens_late'];

  const dayOf = (text) => Date.parse(`${text}T00:00:00Z`) / DAY_MS;
  const isThere = (value) => value !== null && value !== undefined && value !== '';

  // Whole months that hold the season and every window of the agent, in days since 1970.
  const spans = new Map();
  function span() {
    if (!spans.has(state.agentIndex)) spans.set(state.agentIndex, measureSpan());
    return spans.get(state.agentIndex);
  }

  function measureSpan() {
    const days = [data.season.start, data.season.end].filter(isThere).map(dayOf);
    for (const role of ['release', 'source']) {
      for (const site of data.ranking(state.agentIndex, role).sites) {
        if (site.group === 'leftOut') continue;
        for (const name of DATES) if (isThere(site[name])) days.push(dayOf(site[name]));
      }
    }
    if (days.length === 0) return null;
    const [least, most] = days.reduce(([low, high], day) => [Math.min(low, day), Math.max(high, day)], [Infinity, -Infinity]);
    const [first, last] = [new Date(least * DAY_MS), new Date(most * DAY_MS)];
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

  function told(site) {
    const peak = isThere(site.window_peaks) ? words.windowPeaks(numbers.dayAndMonth(site.window_peaks)) : '';
    return words.windowTold(numbers.dayAndMonth(site.window_opens), numbers.dayAndMonth(site.window_closes), peak);
  }

  // The bar of one site; null where its window has no dates.
  function windowBar(site) {
    const whole = span();
    if (whole === null || !isDated(site)) return null;
    const [opens, closes] = [dayOf(site.window_opens), dayOf(site.window_closes) + 1];
    const scout = isThere(site.window_scout) ? dayOf(site.window_scout) : opens;
    const day = seasonMap.season ? seasonMap.season.day : null;
    return element('span', { class: 'window-bar' },
      element('span', { class: 'spoken' }, told(site)),
      element('span', { class: 'window-track', 'aria-hidden': 'true' },
        scout < opens ? piece('before', scout, opens, whole) : null,
        piece('open', opens, closes, whole),
        isThere(site.window_opens_early) && isThere(site.window_opens_late) && site.window_opens_early < site.window_opens_late
          ? piece('doubt', dayOf(site.window_opens_early), dayOf(site.window_opens_late), whole) : null,
        isThere(site.window_peaks) ? piece('peak', dayOf(site.window_peaks), null, whole) : null,
        day ? piece('today', dayOf(day), null, whole) : null));
  }

  // The months above the bars. Every second name is left out where they would not fit.
  windowBar.axis = () => {
    const whole = span();
    if (whole === null) return null;
    const months = [];
    for (let date = new Date(whole.from * DAY_MS); date.getTime() / DAY_MS < whole.to; date = new Date(Date.UTC(date.getUTCFullYear(), date.getUTCMonth() + 1, 1))) {
      months.push([date.getTime() / DAY_MS, words.months[date.getUTCMonth()].slice(0, 3)]);
    }
    const every = Math.ceil(months.length / 8);
    return element('span', { class: 'window-axis' }, ...months.map(([day, name], number) => {
      const mark = piece('month', day, null, whole);
      if (number % every === 0) mark.append(name);
      return mark;
    }));
  };

  windowBar.span = span;
  windowBar.dayOf = dayOf;
  windowBar.textOf = (day) => new Date(day * DAY_MS).toISOString().slice(0, 10);
  windowBar.isDated = isDated;
  windowBar.told = told;
  seasonMap.windowBar = windowBar;
});
