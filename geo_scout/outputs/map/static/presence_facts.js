'use strict';
// What a card says of whether the agent lives there. Nothing is computed here.
seasonMap.part(() => {
  const { element, numbers, words, data, state, siteFacts } = seasonMap;

  // 0.5 stands for less than one percent, 99.5 for more than 99.
  const percent = (value) => (value === 0.5 ? '<1' : value === 99.5 ? '>99' : String(value));

  function chance(low, best, high) {
    if (best === null || best === undefined) return null;
    const [least, most] = [percent(low), percent(high)];
    return least === most ? words.percentOf(percent(best)) : words.percentRange(percent(best), least, most);
  }

  function stateIn(name, year) {
    const label = words.states[name] || name;
    return year === null || year === undefined ? label : words.stateIn(label, year);
  }

  function nearest(told) {
    if (!told.population || told.population_km === null || told.population_km === 0) return null;
    const away = words.populationAway(told.population, numbers.quantity(told.population_km, 'km'));
    return [away, words.gaps[told.gap_crossed]].filter(Boolean).join('; ');
  }

  // The releases that the state rests on, oldest first.
  function releasesHere(site) {
    const here = data.records[state.agentIndex].releases.filter((release) => release.site_id === site.site_id);
    if (here.length === 0) return [];
    const said = (release) => words.releaseHere(release.release_id, numbers.longDate(release.date), words.outcomes[release.outcome] || release.outcome);
    return [element('p', { class: 'reason' }, words.releasesHere(here.length)),
      element('ul', {}, ...here.sort((one, other) => (String(one.date) < String(other.date) ? -1 : 1)).map((release) => element('li', {}, said(release))))];
  }

  function presence(site) {
    const told = data.presence(state.agentIndex, site.site_id);
    if (told === null) return [];
    const basis = told.basis.charAt(0).toUpperCase() + told.basis.slice(1);
    return [element('h3', {}, words.presence), siteFacts.table([
      [words.state, stateIn(told.state, told.year)],
      [words.chance, chance(told.low, told.best, told.high)],
      [words.nearestPopulation, nearest(told)],
    ]), basis ? element('p', { class: 'reason' }, basis) : null, ...releasesHere(site)].filter(Boolean);
  }

  function scouting(site) {
    const told = site.scouting;
    if (!told) return [];
    const days = told.sign_first_day && told.sign_last_day
      ? words.fromTo(numbers.longDate(told.sign_first_day), numbers.longDate(told.sign_last_day)) : null;
    const why = told.why ? told.why.charAt(0).toUpperCase() + told.why.slice(1) : '';
    return [element('h3', {}, words.visitWorth), why ? element('p', { class: 'reason' }, why) : null, siteFacts.table([
      [words.lookFor, [told.sign, told.methods].filter(Boolean).join(', by ')],
      [words.lookWhen, days],
      [words.lookInto, told.what_to_check],
    ])].filter(Boolean);
  }

  seasonMap.presenceFacts = { presence, scouting, chance, stateIn };
});
