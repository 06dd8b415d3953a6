'use strict';
// What is chosen now, and who wants to know when that changes.
seasonMap.part(() => {
  // ranking: another list is shown; order: its sites changed places; shown: the filters let others through;
  // chosen: a site was chosen, or none; hot: a site was pointed at; season: the day in view changed; year: the year did; tab: another tab of the panel is shown;
  // begun: the page stands for the first time.
  const listeners = { ranking: [], order: [], shown: [], chosen: [], hot: [], season: [], year: [], tab: [], begun: [] };

  function tell(event, ...news) {
    for (const listener of listeners[event]) listener(...news);
  }

  const state = {
    agentIndex: 0,
    role: 'release',
    siteId: null,
    ranking: () => seasonMap.data.ranking(state.agentIndex, state.role),
    site: (siteId) => state.ranking().site(siteId),
    on: (event, listener) => listeners[event].push(listener),
    tell,
    show: (agentIndex, role) => {
      state.choose(null);
      state.agentIndex = agentIndex;
      state.role = role;
      tell('ranking');
    },
    // from: where the reader chose it, 'list' or 'map'
    choose: (siteId, from = 'map') => {
      state.siteId = siteId;
      tell('chosen', siteId, from);
    },
    point: (siteId, isHot) => tell('hot', siteId, isHot),
  };
  seasonMap.state = state;
});
