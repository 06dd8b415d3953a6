'use strict';
// The records of the agent that is shown as they stood at the end of the year in view.
seasonMap.part(() => {
  const { data, state, season } = seasonMap;
  // A release has the outcome of the visit that says most; later ones in this list say more.
  const SAYS_MORE = ['not visited', 'not found', 'found too early', 'found'];

  const by = (day, year) => Boolean(day) && Number(String(day).slice(0, 4)) <= year;
  const says = (visit) => SAYS_MORE.indexOf(visit.outcome || (visit.found ? 'found' : 'not found'));

  function then(release, visits, year) {
    const known = visits.filter((visit) => visit.release_id === release.release_id && by(visit.date, year));
    const days = (release.lost_on || '').split('; ').filter((day) => by(day, year));
    return {
      ...release,
      outcome: SAYS_MORE[known.reduce((most, visit) => Math.max(most, says(visit)), 0)],
      visits: known.length,
      lost_on: days.join('; '),
      // State and chance are of today: of an earlier year nobody worked them out.
      state: null,
      presence_percent: null,
    };
  }

  seasonMap.recordsThen = () => {
    const every = data.records[state.agentIndex];
    const { year } = season;
    if (year === null) return every;
    return {
      releases: every.releases.filter((release) => by(release.date, year)).map((release) => then(release, every.visits, year)),
      visits: every.visits.filter((visit) => by(visit.date, year)),
      populations: every.populations.filter((population) => by(population.first_found, year)),
    };
  };
});
