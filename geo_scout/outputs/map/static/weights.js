'use strict';
// Scores and ranks by the weights in hand. They begin as the plan's, and excluded sites stay excluded.
seasonMap.part(() => {
  const { data, state } = seasonMap;
  const ROLES = ['release', 'source'];
  const MILLIONTHS = 1e6;
  const chosen = Object.fromEntries(ROLES.map((role) => [role, null])); // null: the plan's

  // From the first criterion to the last, as the season adds them up, so that the last bits agree.
  function combine(columns, weights, count, isProduct) {
    const scores = new Float64Array(count).fill(isProduct ? 1 : 0);
    columns.forEach((column, number) => {
      const weight = weights[number];
      if (weight === 0) return;
      if (isProduct) for (let row = 0; row < count; row += 1) scores[row] *= column[row] ** weight;
      else for (let row = 0; row < count; row += 1) scores[row] += column[row] * weight;
    });
    return scores;
  }

  function highest(ranking, low, weights, count) {
    const { raw, highs } = ranking;
    const open = new Set(highs.flatMap((column) => [...column.keys()]).filter((row) => row < count));
    const scores = low.slice();
    for (const row of open) {
      const values = raw.values.low.map((column, number) => [highs[number].get(row) ?? column[row]]);
      [scores[row]] = combine(values, weights, 1, raw.is_product);
    }
    return scores;
  }

  function byCodePoint(one, other) {
    const [first, second] = [Array.from(one), Array.from(other)];
    for (let at = 0; at < Math.min(first.length, second.length); at += 1) {
      if (first[at] !== second[at]) return first[at].codePointAt(0) - second[at].codePointAt(0);
    }
    return first.length - second.length;
  }

  // Sites of equal score stand in the order of their site_id, code point by code point.
  function rowsById(ranking) {
    if (!ranking.rowsById) {
      const ids = ranking.ids.slice(0, ranking.rankedCount);
      const isPlain = ids.every((id) => /^[\x20-\x7e]*$/.test(id));
      ranking.rowsById = ids.map((_, row) => row).sort(isPlain
        ? (one, other) => (ids[one] < ids[other] ? -1 : 1)
        : (one, other) => byCodePoint(ids[one], ids[other]));
    }
    return ranking.rowsById;
  }

  function ranksOf(ranking, scores) {
    const rows = rowsById(ranking);
    const count = rows.length;
    // One number per site holds its score and its place among the ids, so that numbers can be sorted.
    const keys = new Float64Array(count);
    rows.forEach((row, place) => { keys[place] = (MILLIONTHS - Math.floor(scores[row] * MILLIONTHS + 0.5)) * count + place; });
    keys.sort();
    const ranks = new Int32Array(count);
    keys.forEach((key, order) => { ranks[rows[((key % count) + count) % count]] = order + 1; });
    return ranks;
  }

  function normalised(list) {
    const largest = Math.max(...list);
    if (!(largest > 0)) return null;
    const scaled = list.map((weight) => weight / largest);
    const sum = scaled.reduce((total, weight) => total + weight, 0);
    return scaled.map((weight) => weight / sum);
  }

  function scoresOf(ranking, weights) {
    const count = ranking.rankedCount;
    const low = combine(ranking.raw.values.low, weights, count, ranking.raw.is_product);
    return { low, high: highest(ranking, low, weights, count) };
  }

  function byPlan(ranking) {
    const { columns, criteria } = ranking.raw;
    const weights = criteria.map((one) => one.weight);
    const printed = { isPlan: true, weights, rank: ranking.planRank, low: columns.score_low, high: columns.score_high };
    return columns.score_low ? printed : { ...printed, ...scoresOf(ranking, weights) };
  }

  function byHand(ranking, list) {
    const weights = normalised(list);
    const scores = scoresOf(ranking, weights);
    return { isPlan: false, weights, rank: ranksOf(ranking, scores.low), ...scores };
  }

  // Brings a ranking up to the weights in hand, if it is not there yet.
  function apply(ranking) {
    const list = ranking.raw.can_reweigh ? chosen[ranking.role] : null;
    if (ranking.inHand !== null && ranking.weighedBy === list) return;
    ranking.weighedBy = list;
    ranking.inHand = list === null ? byPlan(ranking) : byHand(ranking, list);
  }

  const plan = (role) => data.ranking(state.agentIndex, role).raw.criteria.map((criterion) => criterion.weight);

  function set(role, list) {
    const isPlan = list === null || plan(role).every((weight, number) => weight === list[number]);
    if (!isPlan && normalised(list) === null) return;
    chosen[role] = isPlan ? null : list.slice();
    if (state.role !== role) return;
    apply(state.ranking());
    state.tell('order');
  }

  seasonMap.weights = {
    apply,
    set,
    plan,
    of: (role) => (chosen[role] || plan(role)).slice(),
    shares: (role) => normalised(chosen[role] || plan(role)),
    isPlan: (role) => chosen[role] === null,
    canReweigh: (role) => data.ranking(state.agentIndex, role).raw.can_reweigh,
  };
});
