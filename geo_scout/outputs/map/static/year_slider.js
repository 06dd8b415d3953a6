'use strict';
// Over the years: what had been released, and what was known of it, by the end of a year.
seasonMap.part(() => {
  const { element, words, data, state, season, replace } = seasonMap;
  const node = element('section', { class: 'year-view', 'aria-labelledby': 'year-title' });
  const said = element('output', { for: 'year', class: 'year-said' });
  const slider = element('input', { type: 'range', id: 'year', step: 1, 'aria-label': words.yearLabel });
  const counts = element('ul', { class: 'year-counts' });

  const yearOf = (text) => Number(String(text).slice(0, 4));

  // From the first release or find to the season's own year, which stands for now.
  function span() {
    const { releases, populations } = data.records[state.agentIndex];
    const years = [...releases.map((one) => one.date), ...populations.map((one) => one.first_found)].filter(Boolean).map(yearOf);
    const now = yearOf(data.season.as_of);
    return years.length === 0 || Math.min(...years) >= now ? null : { from: Math.min(...years), to: now };
  }

  function fit() {
    const whole = span();
    node.hidden = whole === null;
    if (whole === null) return;
    [slider.min, slider.max] = [whole.from, whole.to];
    slider.value = season.year ?? whole.to;
  }

  function refresh() {
    const whole = span();
    if (whole === null) return;
    const isNow = season.year === null;
    said.textContent = isNow ? words.yearNow : words.yearEnd(season.year);
    slider.setAttribute('aria-valuetext', said.textContent);
    const { releases, populations } = seasonMap.recordsThen();
    const of = (outcome) => releases.filter((release) => release.outcome === outcome).length;
    replace(counts,
      element('li', {}, words.releasesThen(releases.length)),
      ...Object.keys(words.outcomes).filter((outcome) => of(outcome) > 0).map((outcome) => element('li', {}, words.outcomeThen(words.outcomes[outcome], of(outcome)))),
      element('li', {}, words.populationsThen(populations.length)));
  }

  slider.addEventListener('input', () => {
    const year = Number(slider.value);
    season.setYear(year === Number(slider.max) ? null : year);
    seasonMap.say(said.textContent);
  });
  node.append(
    element('h2', { id: 'year-title' }, words.yearTitle),
    element('p', { class: 'year-line' }, said),
    slider,
    counts,
    element('p', { class: 'soft' }, words.yearNote));

  seasonMap.timeTab.append(node);
  state.on('ranking', () => { if (season.year !== null) season.setYear(null); fit(); refresh(); });
  state.on('year', refresh);
});
