'use strict';
// The card of one site.
seasonMap.part(() => {
  const { element, numbers, words, data, state, scoreParts, siteFacts, presenceFacts, supplyFacts } = seasonMap;

  const heading = (text) => element('h3', {}, text);

  const facts = (pairs) => siteFacts.table(pairs) || element('dl', { class: 'facts-table' });

  function standing(site) {
    const count = state.ranking().sites.filter((one) => one.group === 'ranked').length;
    if (site.group === 'ranked') return words.rankOf(site.rank, count);
    return site.group === 'worthScouting' ? words.worthScouting : words.leftOut;
  }

  function score(site) {
    if (site.group !== 'ranked') return null;
    const range = scoreParts.isOpen(site)
      ? words.scoreRange(numbers.score(site.score_low), numbers.score(site.score_high))
      : words.scoreOutOf;
    return element('p', { class: 'figure' },
      element('span', {}, words.score),
      element('strong', {}, numbers.score(site.score_low ?? site.score)),
      element('span', {}, range));
  }

  const isByHand = () => !state.ranking().inHand.isPlan;
  const ofPlan = () => (isByHand() ? element('p', { class: 'of-plan' }, words.ofPlan) : null);
  const greyed = (node) => { node.classList.toggle('of-plan', isByHand()); return node; };

  // Where nothing was drawn the season says nothing of how sure a rank is. Draws belong to the plan's weights.
  function howSure(site) {
    const isDrawn = site.top_n_share !== null && site.top_n_share !== undefined;
    if (site.group !== 'ranked' || !isDrawn) return [];
    const isFollowed = site.rank_low !== null && site.rank_high !== null;
    const range = isFollowed ? words.rankRange(site.rank_low, site.rank_high) : null;
    const isSometimesOut = isFollowed && site.eligible_share < 1;
    return [heading(words.howSure), ofPlan(), greyed(facts([
      [words.rankLikely, isSometimesOut ? words.rankIfIn(range, words.ofDraws(site.eligible_share)) : range],
      [words.amongFirst(data.season.top_n), words.ofDraws(site.top_n_share)],
    ]))];
  }

  function reasons(site) {
    if (site.group === 'ranked' || site.whyOut.length === 0) return [];
    const [only, ...more] = site.whyOut;
    const told = more.length === 0
      ? element('p', { class: 'reason' }, only)
      : element('ul', {}, ...site.whyOut.map((reason) => element('li', {}, reason)));
    return [heading(words.whyOut), told];
  }

  function section(title, text) {
    return text ? [heading(title), element('p', { class: 'reason' }, text)] : [];
  }

  // What was written of the plan's weights, greyed while others are in hand.
  function planSection(title, text) {
    return text ? [heading(title), ofPlan(), greyed(element('p', { class: 'reason' }, text))] : [];
  }

  function moved(site) {
    if (site.group !== 'ranked' || site.rank === site.plan_rank) return null;
    return element('p', { class: 'moved' }, words.movedFrom(site.plan_rank, site.plan_rank - site.rank));
  }

  // Only a weighted sum is the sum of its points.
  function combination(site) {
    return site.combination ? [element('p', { class: 'reason' }, site.combination)] : [];
  }

  function patchFacts(site) {
    return facts([
      [words.infested, words.infestedOf(numbers.quantity(site.infested_ha, 'ha'), numbers.quantity(site.gross_ha, 'ha'))],
      [words.cover, numbers.quantity(site.cover_pct, 'pct')],
      [words.surveyed, numbers.longDate(site.survey_date) || words.unknown],
      [words.purpose, site.purpose],
      [words.manager, site.manager],
      [words.permission, site.permission],
    ]);
  }

  function withCopy(text, label) {
    return element('span', { class: 'copied' }, element('span', {}, text), seasonMap.copyButton ? seasonMap.copyButton(() => text, label) : null);
  }

  function whereFacts(site) {
    if (site.latitude_deg === null) return facts([]);
    const degrees = numbers.degrees(site.latitude_deg, site.longitude_deg);
    const utm = typeof site.easting_m === 'number' ? numbers.utm(site) : null;
    return facts([
      [words.degrees, withCopy(degrees, words.degrees)],
      [words.utm, utm === null ? null : withCopy(utm, words.utm)],
      [words.geoLink, element('a', { class: 'geo', href: `geo:${site.latitude_deg},${seasonMap.longitudes.told(site.longitude_deg)}` }, words.geoLinkDo)],
    ]);
  }

  function asked(site) {
    const lines = data.requests(state.agentIndex, site.site_id);
    return lines.length === 0 ? [] : [heading(words.requests), element('ul', {}, ...lines.map((line) => element('li', {}, line)))];
  }

  // What can be done with a site, as far as the page has it.
  function actions(site) {
    const offers = seasonMap.cardActions.map((action) => action(site)).filter(Boolean);
    return offers.length === 0 ? null : element('div', { class: 'button-row' }, ...offers);
  }

  seasonMap.cardActions = []; // functions of a site that return a button
  seasonMap.cardSections = []; // functions of a site that return nodes
  seasonMap.siteCard = (site) => element('article', { class: 'card site-card' },
    element('p', { class: 'kicker' }, `${words.role[site.role]} · ${standing(site)}`),
    element('h2', { tabindex: -1 }, site.name || site.site_id),
    element('p', { class: 'identity' }, [site.name ? site.site_id : '', site.agent].filter(Boolean).join(' · ')),
    score(site),
    moved(site),
    ...reasons(site),
    ...section(words.bringBack, site.group === 'ranked' ? '' : site.what_would_change_it),
    ...section(words.cautionsHere, site.cautions),
    ...howSure(site),
    ...planSection(words.whyHere, site.group === 'ranked' ? site.why_here : ''),
    ...planSection(words.wouldChange, site.group === 'ranked' ? site.what_would_change_it : ''),
    ...presenceFacts.presence(site),
    ...supplyFacts.supply(site),
    ...presenceFacts.scouting(site),
    ...siteFacts.seasonWindow(site),
    ...seasonMap.cardSections.flatMap((section) => section(site)),
    ...(site.group === 'ranked' ? [heading(words.parts), ...combination(site), scoreParts.table(site)] : []),
    ...siteFacts.climate(site),
    ...siteFacts.ground(site),
    heading(words.patch), patchFacts(site),
    ...asked(site),
    heading(words.where), whereFacts(site),
    actions(site));

  seasonMap.cardFacts = facts;
});
