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
  function columnGetters({ columns, shared }, rowOf) {
    const plain = Object.entries(columns).map(([name, column]) => [name, getter((index) => column[rowOf(index)] ?? null)]);
    const once = Object.entries(shared).map(([name, { texts, row }]) => [name, getter((index) => texts[row[rowOf(index)]] ?? null)]);
    return Object.fromEntries([...plain, ...once]);
  }

  // A large season says once for each patch what is the same in every ranking.
  function patchGetters(raw, patches) {
    if (!raw.patch) return {};
    const { site_id: siteIds, of_patch: ofPatch } = patches;
    return { ...columnGetters(ofPatch, (index) => raw.patch[index]), site_id: getter((index) => siteIds[raw.patch[index]]) };
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

  function makeSites(ranking, patches, worth) {
    const { raw } = ranking;
    const inHand = (name) => getter((index) => ranking.inHand[name][index] ?? null);
    const prototype = Object.create(null, {
      ...columnGetters(raw, (index) => index),
      ...patchGetters(raw, patches),
      role: { value: raw.role },
      agent: { value: raw.agent },
      combination: { value: raw.combination || '' },
      toBeSeen: { value: raw.to_be_seen },
      plan_rank: getter((index) => ranking.planRank[index] ?? null),
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
    return ranking.ids.map((_, index) => {
      const site = Object.create(prototype);
      site.index = index;
      return site;
    });
  }

  seasonMap.rankingOf = (raw, patches) => {
    const ranking = {
      raw,
      agent: raw.agent,
      role: raw.role,
      criteria: raw.criteria,
      is_valued: raw.is_valued,
      ids: raw.patch ? raw.patch.map((number) => patches.site_id[number]) : raw.columns.site_id,
      // Ranked rows come first in every table, in the order of their ranks.
      planRank: Int32Array.from({ length: raw.ranked_count }, (_, index) => index + 1),
      rankedCount: raw.ranked_count,
      highs: raw.values.high.map((pairs) => new Map(pairs)),
      inHand: null, // weights.js brings it up to the weights in hand
    };
    ranking.sites = makeSites(ranking, patches, visits(raw));
    const byId = new Map(ranking.sites.map((site) => [site.site_id, site]));
    ranking.site = (siteId) => byId.get(siteId);
    let named = null; // how many sites have each name
    // The name a short list tells a site by: with the id where others are called the same.
    ranking.nameOf = (site) => {
      if (!site.name) return site.site_id;
      if (named === null) {
        named = new Map();
        for (const { name } of ranking.sites) named.set(name, (named.get(name) || 0) + 1);
      }
      return named.get(site.name) > 1 ? words.nameAndId(site.name, site.site_id) : site.name;
    };
    return ranking;
  };
});
