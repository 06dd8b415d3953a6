'use strict';
// Two sites are chosen, from a card or in the tab, and what makes the difference between them is told.
seasonMap.part(() => {
  const { element, words, data, state, compareFigures, mapBars, plainButton, replace, siteField } = seasonMap;
  const ROLES = ['release', 'source'];
  const chosen = [null, null]; // {agentIndex, role, siteId}
  let picking = null; // the place whose partner is chosen next

  const problem = element('p', { class: 'trouble', role: 'alert' });
  const heading = element('h3', { tabindex: -1 });
  const answer = element('div', { class: 'comparison' });
  const shownNow = () => ({ agentIndex: state.agentIndex, role: state.role });

  // ---- the two fields
  function makeSlot(number) {
    const where = element('select', { id: `compare-ranking-${number}` });
    const at = () => { const [agentIndex, role] = where.value.split(' '); return { agentIndex: Number(agentIndex), role }; };
    const sites = () => data.ranking(at().agentIndex, at().role).sites;
    const field = siteField.make({ id: `compare-site-${number}`, label: words.compareSite, sites, change: (text) => typed(number, text) });
    data.season.agents.forEach(({ name }, agentIndex) => where.append(...ROLES.map((role) => element('option', { value: `${agentIndex} ${role}` },
      data.season.agents.length > 1 ? words.compareRanking(words.roles[role], name) : words.roles[role]))));
    where.addEventListener('change', () => set(number, null));
    return { at, sites, field, point: ({ agentIndex, role }) => { where.value = `${agentIndex} ${role}`; },
      node: element('fieldset', {}, element('legend', {}, words.compareWhich[number]),
        element('label', { class: 'field' }, element('span', {}, words.roleGroup), where), field.node) };
  }
  const slots = [0, 1].map(makeSlot);

  function typed(number, text) {
    problem.textContent = '';
    if (text.trim() === '') { set(number, null); return; }
    const found = siteField.find(slots[number].sites(), text);
    if (found.problem) { problem.textContent = words.compareProblem(words.compareWhich[number], found.problem); return; }
    set(number, { ...slots[number].at(), siteId: found.site.site_id });
  }

  function set(number, place) {
    chosen[number] = place;
    if (place !== null) slots[number].point(place);
    slots[number].field.set(place === null ? null : compareFigures.siteOf(place));
    redraw();
  }

  // ---- the answer
  const isSame = (one, other) => one.siteId === other.siteId && compareFigures.isSameRanking(one, other);

  function cautions(one, other) {
    if (!compareFigures.isSameRanking(one, other)) return [];
    const [first, second] = [one, other].map(compareFigures.siteOf);
    const isRanked = first.group === 'ranked' && second.group === 'ranked';
    const open = [first, second].filter(seasonMap.scoreParts.isOpen);
    const isByHand = !data.ranking(one.agentIndex, one.role).inHand.isPlan;
    return [
      isRanked && open.length > 0 ? words.compareOpen(first.score_high >= second.score_low && second.score_high >= first.score_low) : null,
      isByHand ? words.compareByHand : null,
    ].filter(Boolean);
  }

  // While weights move the map stays where it is.
  let marked = '';
  function mark(places) {
    const now = JSON.stringify(places);
    if (now === marked) return;
    marked = now;
    seasonMap.compareMarks(places.map(compareFigures.siteOf));
  }

  function redraw() {
    const [one, other] = chosen;
    heading.hidden = one === null || other === null || isSame(one, other);
    mark(heading.hidden ? [] : [one, other]);
    if (heading.hidden) {
      replace(answer, element('p', { class: 'soft' }, one !== null && other !== null ? words.compareOneSite : words.compareHow));
      return;
    }
    heading.textContent = words.compareDifference;
    const soft = (text) => element('p', { class: 'soft' }, text);
    replace(answer,
      element('p', { class: 'compare-sentence', role: 'status' }, compareFigures.sentence(one, other)),
      ...cautions(one, other).map(soft),
      soft(words.compareBars[compareFigures.kindOf(one, other)]),
      seasonMap.compareTable(one, other));
  }

  // ---- from a card: this site, and whichever is chosen next on map or list
  const told = element('p', {});
  const bar = mapBars.add(words.compareTitle, true, told, element('div', { class: 'bar-buttons' }, plainButton(words.compareStop, stop)));

  function stop() {
    const isInside = bar.contains(document.activeElement);
    picking = null;
    bar.hidden = true;
    if (isInside) seasonMap.place(`tab-${seasonMap.tabs.shown()}`).focus();
  }

  function begin(site) {
    picking = { ...shownNow(), siteId: site.site_id };
    seasonMap.cardPlace.close();
    seasonMap.tabs.show('sites');
    if (document.activeElement === document.body) seasonMap.place('tab-sites').focus();
    told.textContent = words.comparePick(compareFigures.nameOf(site));
    bar.hidden = false;
    seasonMap.say(told.textContent);
  }

  function show(one, other) {
    problem.textContent = '';
    [one, other].forEach((place, number) => set(number, place));
    seasonMap.cardPlace.close();
    seasonMap.tabs.show('whatIf');
    heading.focus({ preventScroll: true });
    heading.scrollIntoView({ block: 'start' });
  }

  state.on('chosen', (siteId) => {
    if (picking === null || siteId === null) return;
    const [one, other] = [picking, { ...shownNow(), siteId }];
    if (isSame(one, other)) return;
    stop();
    show(one, other);
  });
  document.addEventListener('keydown', (event) => {
    if (picking === null || event.key !== 'Escape' || event.defaultPrevented) return;
    event.preventDefault();
    stop();
  }, true);

  // Fields that are still empty follow the ranking that is shown.
  state.on('ranking', () => slots.forEach((slot, number) => { if (chosen[number] === null) slot.point(shownNow()); }));
  state.on('order', redraw);
  seasonMap.cardActions.push((site) => plainButton(words.compareWith, () => begin(site)));
  redraw();

  seasonMap.compare = {
    show,
    node: element('section', { class: 'field-part', 'aria-labelledby': 'compare-title' },
      element('h2', { id: 'compare-title' }, words.compareTitle),
      element('div', { class: 'field-pair compare-fields' }, ...slots.map((slot) => slot.node)), problem, heading, answer),
  };
});
