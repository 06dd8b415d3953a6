'use strict';
// What is chosen now, and who wants to know when that changes.
(() => {
  const listeners = { ranking: [], chosen: [], hot: [] };

  function tell(event, ...news) {
    for (const listener of listeners[event]) listener(...news);
  }

  const state = {
    agentIndex: 0,
    role: 'release',
    siteId: null,
    ranking: () => seasonMap.data.ranking(state.agentIndex, state.role),
    site: (siteId) => state.ranking().sites.find((site) => site.site_id === siteId),
    on: (event, listener) => listeners[event].push(listener),
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
})();
