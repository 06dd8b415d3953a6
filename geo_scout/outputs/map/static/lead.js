'use strict';
// Above the list: the best site, why it is best, and what is unsure about it.
seasonMap.part(() => {
  const { element, numbers, words, data, state, filters, place, replace, inSentence } = seasonMap;
  const REASONS = 3;

  function why(site) {
    const best = site.parts.filter((part) => part.points > 0).sort((one, other) => other.points - one.points).slice(0, REASONS);
    return best.map((part) => words.leadPart(inSentence(part.label), numbers.quantity(part.measure, part.unit)));
  }

  const isDrawn = (site) => site.rank_low !== null && site.rank_low !== undefined && site.top_n_share !== null;

  // How close the next one comes, as the list shows the two scores.
  function next(site) {
    const ranking = state.ranking();
    const second = ranking.sites.find((one) => one.group === 'ranked' && one.rank === site.rank + 1);
    if (!second || second.score_low === null) return null;
    const by = numbers.score(site.score_low - second.score_low);
    return by === numbers.score(0) ? words.leadLevel(ranking.nameOf(second)) : words.leadAhead(by, ranking.nameOf(second));
  }

  function unsure(site) {
    const told = [];
    if (isDrawn(site)) told.push(words.leadRange(words.rankRange(site.rank_low, site.rank_high), data.season.top_n, words.ofDraws(site.top_n_share)));
    const open = site.parts.filter((part) => part.high > part.low).map((part) => inSentence(part.label));
    if (open.length > 0) told.push(words.leadMissing(open));
    if (seasonMap.isNovel(site)) told.push(words.leadNovelty(site.novelty_note));
    if (site.cautions) told.push(words.leadCautions);
    return told;
  }

  const chooser = (site, attributes, ...children) => {
    const button = element('button', { type: 'button', 'data-lead': site.site_id, ...attributes }, ...children);
    button.addEventListener('click', () => state.choose(site.site_id, 'list'));
    return button;
  };
  const titleOf = (site, isPlan) => (isPlan ? words.leadTitle : words.leadTitleByHand)[site.role];
  const isHidden = (site) => !filters.shownIn('ranked').includes(site);

  function lead(site) {
    const { isPlan } = state.ranking().inHand;
    const [doubts, reasons, after] = [unsure(site), why(site), next(site)];
    return element('section', { class: 'lead', 'aria-labelledby': 'lead-title' },
      element('h2', { id: 'lead-title' }, titleOf(site, isPlan)),
      element('p', { class: 'lead-line' }, chooser(site, { class: 'lead-name' }, state.ranking().nameOf(site)), element('strong', {}, numbers.score(site.score_low)), element('span', {}, words.scoreOutOf)),
      isHidden(site) ? element('p', { class: 'soft' }, words.leadHidden) : null,
      element('p', {}, element('b', {}, `${words.leadWhy} `), reasons.length === 1 ? words.leadOnlyPart(reasons[0]) : words.leadMost(reasons), after === null ? null : ` ${after}`),
      doubts.length === 0 ? null : element('p', { class: isPlan ? '' : 'of-plan' }, element('b', {}, `${words.leadUnsure} `), doubts.join(' '),
        isPlan ? null : element('span', {}, ` ${words.ofPlan}`)),
      isPlan ? null : element('p', { class: 'soft' }, words.byHandSpacing));
  }

  // The same in short, above the map where the list lies below the first screen.
  function short(site) {
    const { isPlan } = state.ranking().inHand;
    const [most] = why(site);
    const sure = isPlan && isDrawn(site) ? words.leadShortRange(words.rankRange(site.rank_low, site.rank_high)) : '';
    return chooser(site, {},
      element('b', {}, words.leadShort(titleOf(site, isPlan), state.ranking().nameOf(site), numbers.score(site.score_low))),
      element('span', {}, [most ? words.leadShortMost(most) : '', sure].filter(Boolean).join(' ')));
  }

  // The best of the whole list, whatever the filters show.
  seasonMap.lead = () => {
    const first = state.ranking().sites.find((site) => site.group === 'ranked' && site.rank === 1);
    replace(place('lead-short'), first ? short(first) : null);
    return first ? lead(first) : null;
  };
});
