'use strict';
// The cards of a release, a confirmed population, a finding and a crew base.
(() => {
  const { element, numbers, words, cardFacts } = seasonMap;

  function card(kicker, title, pairs, ...rest) {
    return element('article', { class: 'card record-card' },
      element('p', { class: 'kicker' }, kicker),
      element('h2', { tabindex: -1 }, title || words.unnamed),
      cardFacts(pairs), ...rest);
  }

  const where = (record) => [words.degrees, numbers.degrees(record.latitude_deg, record.longitude_deg)];

  function visitLine(visit) {
    const result = visit.found ? words.visitFound : words.visitNotFound;
    const details = [visit.method, visit.effort_hours === null || visit.effort_hours === undefined ? '' : numbers.quantity(visit.effort_hours, 'hours')];
    return element('li', {}, words.visit(numbers.longDate(visit.date), [result, ...details].filter(Boolean).join(', ')));
  }

  function visitList(visits) {
    return visits.length === 0 ? [] : [element('h3', {}, words.visits), element('ul', {}, ...visits.map(visitLine))];
  }

  seasonMap.recordCard = {
    release: (release, visits) => card(words.release, release.release_id, [
      [words.outcome, words.outcomes[release.outcome] || release.outcome],
      [words.released, numbers.longDate(release.date)],
      [words.number, release.number === null ? '' : numbers.quantity(release.number, '').replace(/\.00$/, '')],
      [words.stage, release.life_stage],
      [words.purpose, release.purpose],
      [words.inPatch, release.site_id],
      where(release),
    ], ...visitList(visits)),
    population: (population) => card(words.population, population.name || population.population_id, [
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
})();
