'use strict';
// What makes the difference between two sites of one ranking: the arithmetic, and the sentence that tells it.
seasonMap.part(() => {
  const { words, data, inSentence } = seasonMap;
  const MOST_NAMED = 3;
  const LEAST_NAMED = 2;
  const MOST_OF_IT = 0.8;
  const SHOWN = 0.0005; // smaller figures print as nothing

  const nameOf = (site) => data.ranking(data.season.agents.findIndex(({ name }) => name === site.agent), site.role).nameOf(site);
  const rawOf = ({ agentIndex, role }) => data.ranking(agentIndex, role).raw;
  const siteOf = ({ agentIndex, role, siteId }) => data.ranking(agentIndex, role).site(siteId);
  const isSameRanking = (one, other) => one.agentIndex === other.agentIndex && one.role === other.role;

  // points: they add up to the score. logarithms: those of the factors add up to that of the score.
  // values: how the score comes about is no sum of anything, or the two scores are of different rankings.
  function kindOf(one, other) {
    if (!isSameRanking(one, other)) return 'values';
    const raw = rawOf(one);
    if (raw.is_product) return 'logarithms';
    return raw.can_reweigh ? 'points' : 'values';
  }

  const logarithm = ({ low, weight }) => (weight === 0 ? 0 : weight * Math.log(low));
  const AMOUNT = { points: (part) => part.points, logarithms: logarithm, values: (part) => part.low };

  function difference(kind, first, second) {
    if (first.low === null || second.low === null) return null;
    const [here, there] = [AMOUNT[kind](first), AMOUNT[kind](second)];
    return here === there ? 0 : here - there;
  }

  // The criteria that both have, in the order of the first, each with what speaks for the first one (above 0).
  function differences(one, other) {
    const kind = kindOf(one, other);
    const theirs = new Map(siteOf(other).parts.map((part) => [part.name, part]));
    return siteOf(one).parts.filter((part) => theirs.has(part.name))
      .map((first) => ({ first, second: theirs.get(first.name), by: difference(kind, first, theirs.get(first.name)) }));
  }

  // The fewest criteria that make up most of what speaks for either: two or three, where there are as many.
  function decisive(every) {
    const sorted = every.filter(({ by }) => Math.abs(by) >= SHOWN).sort((one, next) => Math.abs(next.by) - Math.abs(one.by));
    const whole = sorted.reduce((sum, { by }) => sum + Math.abs(by), 0);
    let told = 0;
    return sorted.slice(0, MOST_NAMED).filter(({ by }, number) => {
      const isNeeded = number < LEAST_NAMED || told < MOST_OF_IT * whole;
      told += Math.abs(by);
      return isNeeded;
    });
  }

  const signed = (value) => `${value < 0 ? '−' : '+'}${Math.abs(value).toFixed(3)}`;

  function listed(every, whole) {
    const named = decisive(every);
    const rest = whole - named.reduce((sum, { by }) => sum + by, 0);
    const told = named.map(({ first, by }) => words.compareNamed(inSentence(first.label), signed(by)));
    return Math.abs(rest) < SHOWN ? told : [...told, words.compareOthers(signed(rest))];
  }

  const turned = (every) => every.map(({ first, second, by }) => ({ first: second, second: first, by: by === 0 ? 0 : -by }));

  function byPoints(ahead, behind, every) {
    const whole = ahead.score_low - behind.score_low;
    const told = listed(every, whole);
    if (told.length === 0) return words.compareLevel(nameOf(ahead), nameOf(behind));
    const lead = whole < SHOWN ? words.compareLevel(nameOf(ahead), nameOf(behind)) : words.compareAhead(nameOf(ahead), whole.toFixed(3), nameOf(behind));
    return words.compareSum(lead, told);
  }

  // One value of 0 makes a product 0, and 0 has no logarithm.
  function byLogarithms(ahead, behind, every) {
    if (behind.score_low === 0) {
      const noughts = every.filter(({ second }) => second.low === 0 && second.weight > 0).map(({ second }) => inSentence(second.label));
      return ahead.score_low === 0 ? words.compareBothNought(nameOf(ahead), nameOf(behind)) : words.compareNought(nameOf(behind), noughts);
    }
    const whole = Math.log(ahead.score_low / behind.score_low);
    const told = listed(every, whole);
    if (told.length === 0) return words.compareLevel(nameOf(ahead), nameOf(behind));
    return words.compareProduct(nameOf(ahead), (ahead.score_low / behind.score_low).toFixed(3), nameOf(behind), signed(whole), told);
  }

  function byValues(ahead, behind, combination) {
    const whole = ahead.score_low - behind.score_low;
    const lead = whole < SHOWN ? words.compareLevel(nameOf(ahead), nameOf(behind)) : words.compareAhead(nameOf(ahead), whole.toFixed(3), nameOf(behind));
    return `${lead}. ${combination}`;
  }

  function sentence(one, other) {
    const [first, second] = [siteOf(one), siteOf(other)];
    const out = [first, second].filter((site) => site.group !== 'ranked');
    if (!isSameRanking(one, other)) return words.compareApart;
    if (out.length > 0) return words.compareOut(out.map(nameOf));
    const isAhead = first.score_low >= second.score_low;
    const [ahead, behind] = isAhead ? [first, second] : [second, first];
    const every = isAhead ? differences(one, other) : turned(differences(one, other));
    if (kindOf(one, other) === 'points') return byPoints(ahead, behind, every);
    return kindOf(one, other) === 'logarithms' ? byLogarithms(ahead, behind, every) : byValues(ahead, behind, rawOf(one).combination);
  }

  seasonMap.compareFigures = { siteOf, rawOf, isSameRanking, kindOf, differences, decisive, sentence, nameOf, signed };
});
