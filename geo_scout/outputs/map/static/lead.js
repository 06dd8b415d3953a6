'use strict';
// Above the list: the best site, why it is best, and what is unsure about it.
seasonMap.part(() => {
  const { element, numbers, words, data, state, place, replace, inSentence } = seasonMap;
  const REASONS = 3;

  function why(site) {
    const best = site.parts.filter((part) => part.points > 0).sort((one, other) => other.points - one.points).slice(0, REASONS);
    return best.map((part) => words.leadPart(inSentence(part.label), numbers.quantity(part.measure, part.unit)));
  }

  function unsure(site) {
    const told = [];
    const isDrawn = site.rank_low !== null && site.rank_low !== undefined && site.top_n_share !== null;
    if (isDrawn) told.push(words.leadRange(words.rankRange(site.rank_low, site.rank_high), data.season.top_n, words.ofDraws(site.top_n_share)));
    const open = site.parts.filter((part) => part.high > part.low).map((part) => inSentence(part.label));
    if (open.length > 0) told.push(words.leadMissing(open));
    if (site.cautions) told.push(words.leadCautions);
    return told;
  }

  function lead(site) {
    const { isPlan } = state.ranking().inHand;
    const name = element('button', { type: 'button', class: 'lead-name', 'data-lead': site.site_id }, site.name || site.site_id);
    name.addEventListener('click', () => state.choose(site.site_id, 'list'));
    const doubts = unsure(site);
    return element('section', { class: 'lead', 'aria-labelledby': 'lead-title' },
      element('h2', { id: 'lead-title' }, (isPlan ? words.leadTitle : words.leadTitleByHand)[site.role]),
      element('p', { class: 'lead-line' }, name, element('strong', {}, numbers.score(site.score_low)), element('span', {}, words.scoreOutOf)),
      element('p', {}, element('b', {}, `${words.leadWhy} `), words.leadMost(why(site))),
      doubts.length === 0 ? null : element('p', { class: isPlan ? '' : 'of-plan' }, element('b', {}, `${words.leadUnsure} `), doubts.join(' '),
        isPlan ? null : element('span', {}, ` ${words.ofPlan}`)));
  }

  // The same in short, above the map where the list lies below the first screen.
  function short(site) {
    const { isPlan } = state.ranking().inHand;
    const [most] = why(site);
    const sure = isPlan && site.rank_low !== null && site.rank_low !== undefined ? words.leadShortRange(words.rankRange(site.rank_low, site.rank_high)) : '';
    const button = element('button', { type: 'button', 'data-lead': site.site_id },
      element('b', {}, words.leadShort((isPlan ? words.leadTitle : words.leadTitleByHand)[site.role], site.name || site.site_id, numbers.score(site.score_low))),
      element('span', {}, [most ? words.leadShortMost(most) : '', sure].filter(Boolean).join(' ')));
    button.addEventListener('click', () => state.choose(site.site_id, 'list'));
    return button;
  }

  // The best of the whole list, whatever the filters show.
  seasonMap.lead = () => {
    const first = state.ranking().sites.find((site) => site.group === 'ranked' && site.rank === 1);
    replace(place('lead-short'), first ? short(first) : null);
    return first ? lead(first) : null;
  };
});
