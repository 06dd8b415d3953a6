'use strict';
// Title, questions, the choice of ranking, and the standing cautions.
seasonMap.part(() => {
  const { element, numbers, words, data, state, place, replace } = seasonMap;
  const { season } = data;

  function writeTitle() {
    place('title').textContent = season.title;
    const dates = [`${words.asOf(numbers.longDate(season.as_of))} · ${words.copies[season.audience]}`];
    if (season.start && season.end) dates.push(words.fieldwork(numbers.longDate(season.start), numbers.longDate(season.end)));
    replace(place('dates'), ...dates.map((text) => element('span', {}, text)));
  }

  function writeQuestions() {
    const alarm = place('questions');
    alarm.hidden = season.questions.length === 0;
    alarm.open = !seasonMap.isNarrow() && season.questions.length <= 2;
    replace(alarm,
      element('summary', {}, words.alarm(season.questions.length)),
      element('ul', {}, ...season.questions.map((question) => element('li', {}, question.replace(/^STOP AND ASK: /, '')))));
  }

  function roleButton(role) {
    const button = element('button', { type: 'button', 'data-role': role });
    button.addEventListener('click', () => state.show(state.agentIndex, role));
    state.on('ranking', () => {
      const count = data.ranking(state.agentIndex, role).sites.filter((site) => site.group === 'ranked').length;
      button.textContent = `${words.roles[role]} (${count})`;
      button.setAttribute('aria-pressed', String(state.role === role));
    });
    return button;
  }

  function agentChoice() {
    if (season.agents.length === 1) {
      const [agent] = season.agents;
      return element('p', { class: 'agent' }, element('span', { class: 'name' }, words.agent), words.agentOf(agent.name, agent.host));
    }
    const select = element('select', { id: 'agent' }, ...season.agents.map((agent, index) => element('option', { value: index }, words.agentOf(agent.name, agent.host))));
    select.addEventListener('change', () => { state.show(Number(select.value), state.role); seasonMap.layers.frameSites(); });
    return element('label', { class: 'agent' }, element('span', { class: 'name' }, words.agent), select);
  }

  function writeNotices() {
    const relief = season.base_layers.includes('relief') ? ` ${words.reliefNote}` : '';
    replace(place('notices'),
      element('details', { class: 'fold' }, element('summary', {}, words.cautions),
        element('ul', { class: 'cautions' }, ...season.cautions.map((caution) => element('li', {}, caution)))),
      element('p', { class: 'colophon' }, `${season.audience_note} ${words.colophon}${relief}`));
  }

  writeTitle();
  writeQuestions();
  replace(place('choices'),
    element('div', { class: 'role-switch', role: 'group', 'aria-label': words.roleGroup }, roleButton('release'), roleButton('source')),
    agentChoice());
  writeNotices();
});
