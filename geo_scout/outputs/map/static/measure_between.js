'use strict';
// Measures from one named place to another, for those who do not tap: sites, the own position, coordinates.
seasonMap.part(() => {
  const { element, numbers, words, state, howFar, position, plainButton, replace } = seasonMap;
  const OFFERED = 50;
  const COORDINATES = /^\s*(-?\d+(?:\.\d+)?)\s*[,;\s]\s*(-?\d+(?:\.\d+)?)\s*$/;
  let chosen = null; // the site chosen last, which stays when its card is closed

  const nameOf = (site) => (site.name ? words.siteAndId(site.name, site.site_id) : site.site_id);
  const placed = () => state.ranking().sites.filter((site) => site.latitude_deg !== null);

  function coordinates(text) {
    const found = COORDINATES.exec(text.replaceAll('−', '-'));
    if (!found) return null;
    const [latitude_deg, longitude_deg] = [Number(found[1]), Number(found[2])];
    return Math.abs(latitude_deg) <= 90 && Math.abs(longitude_deg) <= 180 ? { latitude_deg, longitude_deg, name: numbers.degrees(latitude_deg, longitude_deg) } : null;
  }

  // Returns {place} or {problem}.
  function find(text) {
    const typed = text.trim().toLowerCase();
    if (typed === '') return { problem: words.betweenBlank };
    const same = (...texts) => texts.some((one) => one && one.trim().toLowerCase() === typed);
    const exact = placed().filter((site) => same(site.site_id, nameOf(site)));
    const found = exact.length > 0 ? exact : placed().filter((site) => same(site.name));
    if (found.length > 1) return { problem: words.betweenMany(found.length) };
    if (found.length === 1) return { place: { ...pick(found[0]), name: nameOf(found[0]) } };
    const at = coordinates(text);
    return at === null ? { problem: words.betweenUnknown } : { place: at };
  }

  const pick = ({ latitude_deg, longitude_deg }) => ({ latitude_deg, longitude_deg });

  function fromPosition() {
    const here = position.now();
    return here === null ? { problem: words.betweenNoPosition } : { place: { ...pick(here), name: words.myPosition } };
  }

  const names = element('datalist', { id: 'between-names' });
  const typedField = (id, label) => {
    const input = element('input', { id, type: 'text', list: 'between-names', autocomplete: 'off', spellcheck: 'false' });
    input.addEventListener('input', () => offer(input.value));
    input.addEventListener('focus', () => offer(input.value));
    return { input, node: element('label', { class: 'field' }, element('span', {}, label), input) };
  };
  const from = typedField('between-from', words.betweenFrom);
  const to = typedField('between-to', words.betweenTo);
  const isMine = element('input', { type: 'checkbox', id: 'between-mine' });
  const answer = element('p', { class: 'answer', role: 'status' });

  // A list of every site would slow the page down: only names that fit what was typed are offered.
  function offer(text) {
    const typed = text.trim().toLowerCase();
    const fitting = [];
    for (const site of placed()) {
      if (fitting.length === OFFERED) break;
      if (nameOf(site).toLowerCase().includes(typed)) fitting.push(site);
    }
    replace(names, ...fitting.map((site) => element('option', { value: nameOf(site) })));
  }

  function measure(event) {
    event.preventDefault();
    const start = isMine.checked ? fromPosition() : find(from.input.value);
    const goal = find(to.input.value);
    if (start.problem || goal.problem) {
      const [where, problem] = start.problem ? [isMine.checked ? words.myPosition : words.betweenFrom, start.problem] : [words.betweenTo, goal.problem];
      answer.textContent = words.betweenProblem(where, problem);
      return;
    }
    answer.textContent = words.between(start.place.name, goal.place.name, howFar.leg(start.place, goal.place));
  }

  isMine.addEventListener('change', () => { from.input.disabled = isMine.checked; });
  const form = element('form', { novalidate: true },
    element('label', { class: 'check' }, isMine, element('span', {}, words.betweenMine)),
    element('div', { class: 'field-pair' }, from.node, to.node), names,
    element('button', { type: 'submit', class: 'plain-button' }, words.betweenDo), answer);
  form.addEventListener('submit', measure);

  const swap = plainButton(words.betweenChosen, () => { if (chosen) from.input.value = nameOf(chosen); });
  form.querySelector('.field-pair').after(swap);
  swap.hidden = true;

  state.on('ranking', () => { chosen = null; swap.hidden = true; });
  state.on('chosen', (siteId) => {
    if (siteId === null) return;
    chosen = state.site(siteId);
    swap.hidden = chosen.latitude_deg === null;
    if (!swap.hidden && from.input.value === '') from.input.value = nameOf(chosen);
  });

  seasonMap.measureBetween = {
    chosen: () => chosen,
    node: element('section', { class: 'field-part', 'aria-labelledby': 'between-title' },
      element('h2', { id: 'between-title' }, words.betweenTitle), form),
  };
});
