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

  const questions = season.questions.map((question) => question.replace(/^STOP AND ASK: /, ''));
  const isAbout = (question, agent) => question.startsWith(`${agent.name}: `);

  function writeQuestions() {
    const about = season.agents.filter((agent) => questions.some((question) => isAbout(question, agent)));
    const isOfOne = about.length === 1 && questions.every((question) => isAbout(question, about[0]));
    const alarm = place('questions');
    alarm.hidden = questions.length === 0;
    replace(alarm,
      element('summary', {}, words.alarm(questions.length, isOfOne ? about[0].name : '')),
      element('ul', {}, ...questions.map((question) => element('li', {}, question))));
  }

  // On a wide page a few questions stand open, unless all of them are about another agent than the list.
  function unfoldQuestions() {
    const { name } = season.agents[state.agentIndex];
    const isOfOther = questions.every((question) => season.agents.some((agent) => agent.name !== name && isAbout(question, agent)));
    place('questions').open = !seasonMap.isNarrow() && questions.length <= 2 && !isOfOther;
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
  let unfoldedFor = null;
  state.on('ranking', () => { if (unfoldedFor !== state.agentIndex) { unfoldedFor = state.agentIndex; unfoldQuestions(); } });
  replace(place('choices'),
    element('div', { class: 'role-switch', role: 'group', 'aria-label': words.roleGroup }, roleButton('release'), roleButton('source')),
    agentChoice());
  writeNotices();
});
