'use strict';
// The records of the agent that is shown as they stood at the end of the year in view. Nothing is judged here:
// the season says what had changed by the end of each year.
seasonMap.part(() => {
  const { data, state, season } = seasonMap;
  const NOW = 'now';
  const endOf = (year) => `${year}-12-31`;

  // {first, last} of the years that are past, or null where no records are.
  seasonMap.recordYears = () => {
    const { first, last } = data.season.records[state.agentIndex].years;
    return first === undefined ? null : { first, last };
  };

  // By row of today's records the number of the last news up to a year; rows without any were not there yet.
  function latest({ row, year }, until) {
    const found = new Map();
    for (let at = 0; at < row.length && year[at] <= until; at += 1) found.set(row[at], at);
    return [...found].sort(([one], [other]) => one - other);
  }

  function releasesThen(every, news, year) {
    const until = endOf(year);
    const text = (name, at) => (news[name] ? news[name].texts[news[name].row[at]] : null);
    return latest(news, year).map(([row, at]) => ({
      ...every[row],
      row,
      year,
      outcome: text('outcome', at),
      state: text('state', at),
      state_year: null,
      presence_percent: null, // chances are of today
      lost_on: (every[row].lost_on || '').split('; ').filter((day) => day <= until).join('; '),
    }));
  }

  function populationsThen(every, news, year) {
    const said = Object.keys(news).filter((name) => name !== 'row' && name !== 'year');
    return latest(news, year).map(([row, at]) => ({
      ...every[row], row, year, ...Object.fromEntries(said.map((name) => [name, news[name][at]])),
    }));
  }

  // Visits by the release they name, those of later years left out.
  function visitsBy(visits, until) {
    const found = new Map();
    for (const visit of visits) {
      if (until !== null && !(visit.date <= until)) continue;
      if (!found.has(visit.release_id)) found.set(visit.release_id, []);
      found.get(visit.release_id).push(visit);
    }
    return found;
  }

  function gather(agentIndex, year) {
    const every = data.records[agentIndex];
    const told = data.season.records[agentIndex].years;
    const isNow = year === null;
    const visits = visitsBy(every.visits, isNow ? null : endOf(year));
    const withRow = (record, row) => ({ ...record, row });
    return {
      releases: isNow ? every.releases.map(withRow) : releasesThen(every.releases, told.releases, year),
      populations: isNow ? every.populations.map(withRow) : populationsThen(every.populations, told.populations, year),
      visitsTo: (release) => visits.get(release.release_id) || [],
    };
  }

  let [key, kept] = ['', null];
  seasonMap.recordsThen = () => {
    const wanted = `${state.agentIndex} ${season.year ?? NOW}`;
    if (wanted !== key) [key, kept] = [wanted, gather(state.agentIndex, season.year)];
    return kept;
  };

  // Another agent has years of its own. Nobody is told: whoever shows records begins anew with the agent.
  state.on('ranking', () => {
    const years = seasonMap.recordYears();
    if (years === null || season.year < years.first || season.year > years.last) season.year = null;
  });
});
