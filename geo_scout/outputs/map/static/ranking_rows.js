'use strict';
// One ranking: its columns, and a site for each row that reads from them when asked.
seasonMap.part(() => {
  const { words } = seasonMap;

  function sentences(reasons) {
    const told = (reasons || '').split(words.reasonBegins).map((reason) => reason.trim()).filter(Boolean);
    return told.map((reason) => reason.charAt(0).toUpperCase() + reason.slice(1));
  }

  // The visits worth something, by site.
  function visits(raw) {
    const { site_id: siteIds, ...texts } = raw.scouting;
    return new Map((siteIds || []).map((siteId, index) => [siteId, Object.fromEntries(
      Object.entries(texts).map(([name, once]) => [name, once.texts[once.row[index]]]))]));
  }

  const getter = (read) => ({ get() { return read(this.index, this); }, enumerable: true });

  // Plain columns hold a value per row; shared ones a number per row of a text that is written once.
  function columnGetters(raw) {
    const plain = Object.entries(raw.columns).map(([name, column]) => [name, getter((index) => column[index] ?? null)]);
    const shared = Object.entries(raw.shared).map(([name, { texts, row }]) => [name, getter((index) => texts[row[index]] ?? null)]);
    return Object.fromEntries([...plain, ...shared]);
  }

  function parts(ranking, site) {
    const { raw, inHand } = ranking;
    return raw.criteria.map((criterion, column) => {
      const low = raw.values.low[column][site.index] ?? null;
      const high = ranking.highs[column].get(site.index) ?? low;
      const weight = inHand.weights[column];
      return {
        ...criterion,
        weight,
        measure: raw.measures[column][site.index] ?? null,
        low,
        high,
        points: low === null ? null : weight * low,
        points_high: high === null ? null : weight * high,
        note: (raw.notes[criterion.name] || {})[site.site_id] || '',
      };
    });
  }

  function makeSites(ranking, worth) {
    const { raw } = ranking;
    const inHand = (name) => getter((index) => ranking.inHand[name][index] ?? null);
    const prototype = Object.create(null, {
      ...columnGetters(raw),
      role: { value: raw.role },
      agent: { value: raw.agent },
      combination: { value: raw.combination || '' },
      toBeSeen: { value: raw.to_be_seen },
      plan_rank: getter((index) => raw.columns.rank[index]),
      rank: inHand('rank'),
      score: inHand('low'),
      score_low: inHand('low'),
      score_high: inHand('high'),
      group: getter((index, site) => {
        if (site.status === 'ranked') return 'ranked';
        return site.worth_scouting ? 'worthScouting' : 'leftOut';
      }),
      whyOut: getter((_, site) => sentences(site.reasons)),
      scouting: getter((_, site) => worth.get(site.site_id) || null),
      parts: getter((_, site) => parts(ranking, site)),
    });
    return raw.columns.site_id.map((_, index) => {
      const site = Object.create(prototype);
      site.index = index;
      return site;
    });
  }

  seasonMap.rankingOf = (raw) => {
    const ranking = {
      raw,
      agent: raw.agent,
      role: raw.role,
      criteria: raw.criteria,
      is_valued: raw.is_valued,
      // Ranked rows come first in every table.
      rankedCount: raw.columns.status.filter((status) => status === 'ranked').length,
      highs: raw.values.high.map((pairs) => new Map(pairs)),
      inHand: {
        isPlan: true,
        weights: raw.criteria.map((criterion) => criterion.weight),
        rank: raw.columns.rank,
        low: raw.columns.score_low,
        high: raw.columns.score_high,
      },
    };
    ranking.sites = makeSites(ranking, visits(raw));
    const byId = new Map(ranking.sites.map((site) => [site.site_id, site]));
    ranking.site = (siteId) => byId.get(siteId);
    return ranking;
  };
});
