'use strict';
// The cards of a release, a confirmed population, a finding and a crew base.
seasonMap.part(() => {
  const { element, numbers, words, cardFacts, presenceFacts } = seasonMap;

  function card(kicker, title, pairs, ...rest) {
    return element('article', { class: 'card record-card' },
      element('p', { class: 'kicker' }, kicker),
      element('h2', { tabindex: -1 }, title || words.unnamed),
      cardFacts(pairs), ...rest);
  }

  const where = (record) => [words.degrees, numbers.degrees(record.latitude_deg, record.longitude_deg)];

  function visitLine(visit) {
    const result = visit.found ? words.visitFound : words.visitNotFound;
    const details = [visit.method, visit.effort_hours === null || visit.effort_hours === undefined ? '' : numbers.quantity(visit.effort_hours, 'hours'), visit.says_nothing ? words.saysNothing(visit.says_nothing) : ''];
    return [result, ...details].filter(Boolean).join(', ');
  }

  // What happened to a release, a line for each day, oldest first.
  function timeline(release, visits) {
    const lost = (release.lost_on || '').split('; ').filter(Boolean);
    const lines = [
      [release.date, 0, words.releasedThen],
      ...visits.map((visit) => [visit.date, 2, visitLine(visit)]),
      ...lost.map((day) => [day, 1, words.destroyedThen]),
    ].filter(([day]) => day).sort((one, other) => (one[0] === other[0] ? one[1] - other[1] : one[0] < other[0] ? -1 : 1));
    return [element('h3', {}, words.timeline), element('ul', { class: 'timeline' }, ...lines.map(([day, , said]) => element('li', {}, words.visit(numbers.longDate(day), said))))];
  }

  // A record of an earlier year says so.
  const kicker = (name, record) => (record.year ? words.kickerThen(name, record.year) : name);

  seasonMap.recordCard = {
    release: (release, visits) => card(kicker(words.release, release), release.release_id, [
      [words.state, release.state ? presenceFacts.stateIn(release.state, release.state_year) : null],
      [words.chance, presenceFacts.chance(release.presence_low_percent, release.presence_percent, release.presence_high_percent)],
      [words.outcome, words.outcomes[release.outcome] || release.outcome],
      [words.released, numbers.longDate(release.date)],
      [words.number, release.number === null ? '' : numbers.quantity(release.number, '').replace(/\.00$/, '')],
      [words.stage, release.life_stage],
      [words.purpose, release.purpose],
      [words.inPatch, release.site_id],
      where(release),
    ], ...timeline(release, visits)),
    population: (population) => card(kicker(words.population, population), population.name || population.population_id, [
      [words.firstFound, numbers.longDate(population.first_found)],
      [words.lastFound, numbers.longDate(population.last_found)],
      [words.latestVisit, population.latest_result],
      [words.inPatch, population.site_id],
      where(population),
    ]),
    finding: (finding) => card(`${words.finding}: ${words.grades[finding.grade] || finding.grade}`, words.findingOf(finding.layer, finding.feature), [where(finding)],
      element('p', { class: 'reason' }, finding.what), element('h3', {}, words.fix), element('p', { class: 'reason' }, finding.fix)),
    crew: (crew) => card(words.crewBase, crew.name, [where(crew)]),
  };
});
