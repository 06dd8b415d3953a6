'use strict';
// The sliders that change the weights in hand, and the lines that carry them into the season file.
seasonMap.part(() => {
  const { element, words, state, weights, copyButton, replace } = seasonMap;
  const node = element('div', { class: 'weights' });
  const folded = new Set();
  let rows = []; // of the sliders that stand now: what brings them up to date

  const criteria = () => state.ranking().criteria;
  const sum = (list) => list.reduce((total, value) => total + value, 0);
  const percent = (share) => words.percentOf((100 * share).toFixed(share > 0 && share < 0.1 ? 1 : 0));
  const groupWords = (group) => { const said = group.replaceAll('_', ' '); return said.charAt(0).toUpperCase() + said.slice(1); };

  function groups() {
    const found = new Map();
    criteria().forEach((criterion, number) => {
      if (!found.has(criterion.group)) found.set(criterion.group, []);
      found.get(criterion.group).push(number);
    });
    return found;
  }

  // A slider stands for some criteria: one, or those of a group. Moved, they keep their shares of it.
  function slider(id, label, numbers, isGroup) {
    const output = element('output', { for: id, class: 'share' });
    const input = element('input', { type: 'range', id, min: 0, max: 100, step: 1, 'aria-label': isGroup ? words.weightOfGroup(label) : words.weightOf(label) });
    input.addEventListener('input', () => {
      const list = weights.of(state.role);
      const before = sum(numbers.map((number) => list[number]));
      const shares = before > 0 ? null : insideOf(numbers);
      numbers.forEach((number, at) => { list[number] = (Number(input.value) / 100) * (shares ? shares[at] : list[number] / before); });
      if (sum(list) > 0) weights.set(state.role, list);
      else { refresh(); seasonMap.say(words.weightNeeded); }
    });
    rows.push(() => {
      const raw = sum(numbers.map((number) => weights.of(state.role)[number]));
      const share = sum(numbers.map((number) => weights.shares(state.role)[number]));
      if (document.activeElement !== input || Math.abs(Number(input.value) - 100 * raw) > 0.5) input.value = Math.round(100 * raw);
      output.textContent = percent(share);
      input.setAttribute('aria-valuetext', percent(share));
    });
    return element('div', { class: isGroup ? 'slider of-group' : 'slider' },
      element('span', { class: 'slider-name', 'aria-hidden': 'true' }, label), output, input);
  }

  function insideOf(numbers) {
    const plan = weights.plan(state.role);
    const whole = sum(numbers.map((number) => plan[number]));
    return numbers.map((number) => (whole > 0 ? plan[number] / whole : 1 / numbers.length));
  }

  function groupFold(group, numbers) {
    const label = groupWords(group);
    const details = element('details', { class: 'group' },
      element('summary', {}, words.groupMembers(numbers.length)),
      ...numbers.map((number) => slider(`weight-${criteria()[number].name}`, criteria()[number].label, [number], false)));
    details.open = !folded.has(group);
    details.addEventListener('toggle', () => { if (details.open) folded.delete(group); else folded.add(group); });
    return element('section', { class: 'group-box', 'aria-label': label }, slider(`weight-group-${numbers[0]}`, label, numbers, true), details);
  }

  const figure = (share) => String(Number(share.toFixed(6)));

  // Lines of the season file that state the weights in hand.
  function lines() {
    const { role } = state;
    const shares = weights.shares(role);
    const told = [words.linesLead(words.roles[role].toLowerCase())];
    const isGrouped = criteria().some((criterion) => criterion.group !== '');
    if (isGrouped) {
      told.push(words.linesGroups(role));
      for (const [group, numbers] of groups()) {
        told.push('', `[weights.${role}.groups.${group}]`,
          `criteria = [${numbers.map((number) => `"${criteria()[number].name}"`).join(', ')}]`,
          `weight = ${figure(sum(numbers.map((number) => shares[number])))}`);
      }
    }
    criteria().forEach((criterion, number) => told.push('', `[criteria.${role}.${criterion.name}]`, `weight = ${figure(shares[number])}`));
    return `${told.join('\n')}\n`;
  }

  function refresh() {
    for (const row of rows) row();
    for (const button of node.querySelectorAll('[data-needs-change]')) button.disabled = weights.isPlan(state.role);
    const note = node.querySelector('.weights-state');
    if (note) note.textContent = weights.isPlan(state.role) ? words.weightsPlan : words.weightsByHand;
    const text = node.querySelector('.season-lines');
    if (text) text.textContent = lines();
  }

  function button(label, act, needsChange) {
    const made = element('button', { type: 'button', class: 'plain-button', 'data-needs-change': needsChange }, label);
    made.addEventListener('click', act);
    return made;
  }

  function redraw() {
    rows = [];
    if (!weights.canReweigh(state.role)) {
      replace(node, element('h2', {}, words.weightsTitle[state.role]), element('p', {}, state.ranking().raw.combination), element('p', {}, words.weightsNotHere));
      return;
    }
    const found = groups();
    const sliders = [...found].flatMap(([group, numbers]) => (group === ''
      ? numbers.map((number) => slider(`weight-${criteria()[number].name}`, criteria()[number].label, [number], false))
      : [groupFold(group, numbers)]));
    replace(node,
      element('h2', {}, words.weightsTitle[state.role]),
      element('p', { class: 'soft' }, words.weightsLead),
      element('p', { class: 'weights-state', role: 'status' }),
      element('div', { class: 'button-row' },
        button(words.weightsBack, () => { weights.set(state.role, null); refresh(); }, true),
        button(words.weightsEqual, () => weights.set(state.role, criteria().map(() => 1 / criteria().length)), false)),
      element('div', { class: 'sliders' }, ...sliders),
      element('details', { class: 'lines' }, element('summary', {}, words.linesTitle),
        element('p', { class: 'soft' }, words.linesHow),
        element('pre', { class: 'season-lines', tabindex: 0, 'aria-label': words.linesTitle }),
        copyButton ? copyButton(lines, words.linesTitle) : null));
    refresh();
  }

  seasonMap.tabs.add('weights', words.tabs.weights, node);
  state.on('ranking', redraw);
  state.on('order', refresh);
});
